// The page's one socket, and what buttons and keys do.

import { BrowserCamera } from './camera.js';
import { Choices, PACES } from './choices.js';
import { byId as $, element, setText } from './element.js';
import { keepFitting } from './fit.js';
import { Lexicon } from './lexicon.js';
import { profileName, showName } from './light.js';
import { Picture } from './picture.js';
import { Speech } from './speech.js';
import { Tones } from './tones.js';
import { View, showNotice } from './view.js';

const picture = new Picture($('picture'), $('no-picture'));
const view = new View(picture, sayWhatIsSeen);
const speech = new Speech((words) => {
  showNotice('voice-note', words);
  // A voice may be there before all else is.
  queueMicrotask(showVoice);
}, (here) => {
  tell(here ? 'speak-here' : 'speak-no-more');
  if (here) speech.hearOf(view.state.speaker);
});
const tones = new Tones();
const choices = new Choices((all, choice) => {
  show({ choices: all });
  tell('choose', { choice });
});
const lexicon = new Lexicon((words) => speech.aside(words));
const PANELS = ['light', 'camera', 'words', 'choices'];
const camera = new BrowserCamera(sendFrame, cameraGone);
let socket = null;
let wait = 500;
let begun = false;

// --- the socket ---

function connect() {
  const address = new URL('socket', location.href);
  address.protocol = 'ws:';
  socket = new WebSocket(address);
  socket.binaryType = 'arraybuffer';
  socket.onopen = () => {
    wait = 500;
    showNotice('link', '');
    if (camera.running) tell('use-browser-camera');
  };
  socket.onmessage = ({ data }) => (typeof data === 'string' ? hear(JSON.parse(data)) : draw(data));
  socket.onclose = ({ code }) => {
    const ended = code === 1001;
    showNotice('link', ended
      ? 'Pairsight has ended. Start it again and open the address that it prints.'
      : 'No connection to pairsight. If it has ended, start it again and open the address that it prints.');
    if (ended) {
      camera.stop();
      speech.stop();
      closePanels();
      // Nothing is left that they could do.
      document.querySelectorAll('nav, #start, #end, #answers, footer button').forEach((e) => { e.hidden = true; });
      return;
    }
    setTimeout(connect, wait);
    wait = Math.min(wait * 2, 5000);
  };
}

function tell(kind, fields = {}) {
  if (socket.readyState === WebSocket.OPEN) socket.send(JSON.stringify({ kind, ...fields }));
}

function hear(message) {
  switch (message.kind) {
    case 'show':
      show(message.fields);
      tell('shown');
      break;
    case 'frame-taken':
      camera.taken();
      break;
    case 'filmed-elsewhere':
      camera.stop();
      showCameras();
      break;
  }
}

async function draw(jpeg) {
  const from = socket;
  await picture.show(jpeg);
  // Only the connection that sent the picture waits for this.
  if (from === socket) tell('drawn');
}

function show(fields) {
  view.show(fields);
  // A cube in sight means that the learner has begun, hands and all.
  if (fields.seen?.length || fields.found?.faces.length) {
    $('start').hidden = true;
    if (lexicon.timer) openPanel('words', false);
  }
  if ('lexicon' in fields) lexicon.show(fields.lexicon);
  if ('choices' in fields || 'levels' in fields) takeChoices();
  if ('progress' in fields) showPossible(fields.progress);
  if ('practising' in fields) {
    $('stop-practice').hidden = !fields.practising;
    for (const id of ['practise-due', 'see']) $(id).hidden = fields.practising;
  }
  if (fields.calibration) openPanel('light', true);
  // Hands are on the cube again.
  else if ('calibration' in fields) openPanel('light', false);
  if ('quiet' in fields) setQuiet();
  if ('say' in fields) speech.say(fields.say);
  if ('cue' in fields) tones.sound(fields.cue);
  if ('speaker' in fields) speech.hearOf(fields.speaker);
  if ('cameras' in fields || 'browser_camera' in fields) showCameras();
}

/** What does nothing now is not offered: help with a solved cube, another pair where there is one at most. */
function showPossible(progress) {
  const left = progress?.slots.filter((slot) => !slot.solved).length ?? 0;
  const possible = { help: Boolean(progress) && !progress.last, skip: Boolean(progress?.cross) && left > 1 };
  for (const [id, is] of Object.entries(possible)) {
    $(id).hidden = !is;
    $(`key-${id}`).hidden = !is;
  }
}

/** An answer, or none for the next question. */
function sayWhatIsSeen(choice) {
  if (choice == null) tell('next-sight');
  else tell('answer', { choice });
}

// --- speech ---

function setQuiet() {
  if (view.state.quiet && speech.on) speech.stop();
  showVoice();
}

/** What is chosen holds from now on. */
function takeChoices() {
  const { choices: now, levels = [] } = view.state;
  choices.show(now, levels);
  tones.on = now.tones;
  speech.rate = PACES[now.pace].rate;
  if (!now.voice && speech.on) speech.stop();
  showVoice();
  greet();
}

/** Whether a voice is wanted, and may be heard. */
function isVoiceWanted() {
  return !view.state.quiet && view.state.choices?.voice !== false;
}

/** The learner has begun, by a key or a click. */
function begin(withVoice) {
  $('start').hidden = true;
  if (!view.state.quiet) tones.start();
  if (withVoice && !view.state.quiet) speech.start();
  showVoice();
  begun = true;
  greet();
}

/** A learner who has just begun for the first time is shown the words. */
function greet() {
  if (!begun || !view.state.choices?.first) return;
  openPanel('words', true);
  choices.choose({ first: false });
}

/** With a voice or without, and that is remembered. */
function chooseVoice(voice) {
  if (view.state.quiet) return;
  begin(voice);
  if (!voice) speech.stop();
  if (view.state.choices && view.state.choices.voice !== voice) choices.choose({ voice });
  showVoice();
}

function toggleVoice() {
  chooseVoice(!speech.on);
}

function showVoice() {
  const { quiet } = view.state;
  $('voice').textContent = quiet ? 'Voice: quiet' : !speech.on ? 'Voice: off' : speech.fails ? 'Voice: unheard' : 'Voice: on';
  $('voice').title = quiet ? 'Started with --quiet' : 'Turn the voice on or off (V)';
  $('voice').setAttribute('aria-pressed', String(speech.on));
  $('voice').disabled = Boolean(quiet);
  $('again').hidden = !speech.on;
  $('voice-wanted').disabled = Boolean(quiet);
  setText('voice-state', quiet ? 'a voice: no, as it was started with --quiet' : speech.on && speech.fails ? 'a voice: it is not heard' : 'a voice');
  const wanted = isVoiceWanted();
  setText('start-first', quiet ? 'Start' : wanted ? 'Start with voice' : 'Start without voice');
  setText('start-other', wanted ? 'Start without voice' : 'Start with voice');
  $('start-other').hidden = Boolean(quiet);
}

// --- the browser's camera ---

/** True when the frame was sent, so that the next waits until this one was taken. */
function sendFrame(jpeg) {
  if (socket.readyState !== WebSocket.OPEN || socket.bufferedAmount > 0) return false;
  socket.send(jpeg);
  return true;
}

function cameraGone(why) {
  tell('browser-camera-gone', { why });
  setText('camera-words', why);
  openPanel('camera', true);
  showCameras();
}

async function useBrowserCamera(deviceId) {
  setText('camera-words', 'Waiting for the browser’s leave to use the camera.');
  if (await camera.start(deviceId)) {
    setText('camera-words', '');
    tell('use-browser-camera');
  }
  showCameras();
}

async function showCameras() {
  const { cameras = [], browser_camera: browser } = view.state;
  const own = await camera.list();
  const rows = cameras.map(({ id, name, used }) => cameraRow(name, 'this machine', used, () => {
    camera.stop();
    tell('use-camera', { id });
    showCameras();
  }));
  const named = own.filter((d) => d.deviceId);
  const running = camera.running ? camera.stream.getVideoTracks()[0].getSettings().deviceId : null;
  for (const { deviceId, label } of named.length ? named : [{ label: 'Browser’s camera' }]) {
    rows.push(cameraRow(label || 'Camera', 'through the browser', deviceId ? deviceId === running : camera.running, () => useBrowserCamera(deviceId)));
  }
  $('cameras').replaceChildren(...rows);
  $('camera-offer').hidden = browser !== 'offered' || camera.running;
  const used = cameras.find((one) => one.used);
  setText('start-camera', used ? `Camera: ${used.name}. Another one: press K.` : '');
}

function cameraRow(name, through, used, choose) {
  const row = element('li', '');
  const button = element('button', used ? 'chosen' : '', used ? `${name} (in use)` : name);
  button.type = 'button';
  button.setAttribute('aria-pressed', String(used));
  button.addEventListener('click', choose);
  row.append(button, element('span', 'through', through));
  return row;
}

// --- panels, buttons, keys ---

function openPanel(name, open) {
  if (open === !$(`${name}-panel`).hidden) return;
  for (const other of PANELS) {
    const shown = other === name && open;
    if (other === 'words' && shown !== lexicon.isOpen) (shown ? lexicon.open() : lexicon.close());
    $(`${other}-panel`).hidden = !shown;
    $(`open-${other}`).setAttribute('aria-expanded', String(shown));
  }
}

/** By key or button: the focus goes along. */
function togglePanel(name) {
  const open = $(`${name}-panel`).hidden;
  openPanel(name, open);
  $(open ? `${name}-panel` : `open-${name}`).focus();
}

function closePanels() {
  for (const name of PANELS) if (!$(`${name}-panel`).hidden) togglePanel(name);
}

const KEYS = {
  v: toggleVoice,
  s: () => speech.repeat(),
  l: () => togglePanel('light'),
  k: () => togglePanel('camera'),
  w: () => togglePanel('words'),
  m: () => togglePanel('choices'),
  h: () => tell('more-help'),
  n: () => tell('skip-pair'),
  r: () => {
    if (!$('light-changed').hidden) $('relight').click();
  },
};

document.addEventListener('keydown', (event) => {
  if (event.ctrlKey || event.metaKey || event.altKey || event.isComposing) return;
  const { key } = event;
  if (key === 'Escape') {
    closePanels();
    return;
  }
  // Tab walks, and typing in a field is typing.
  if (['Tab', 'Shift'].includes(key) || event.target.closest('input, select')) return;
  if (!$('start').hidden) {
    // Enter and space on a button do what the button says.
    if (event.target.closest('button') && ['Enter', ' '].includes(key)) return;
    // Other keys are for the browser, for reading aids, or have a meaning of their own.
    if (['Enter', ' '].includes(key)) {
      event.preventDefault();
      begin(isVoiceWanted());
      return;
    }
  }
  if (!$('keys-on').checked) return;
  const { seeing } = view.state;
  if (seeing && (/^[1-4]$/.test(key) || (key === ' ' && !event.target.closest('button')))) {
    event.preventDefault();
    sayWhatIsSeen(seeing.chosen == null && key !== ' ' ? Number(key) - 1 : null);
    return;
  }
  KEYS[key.toLowerCase()]?.();
});

$('start-first').addEventListener('click', () => begin(isVoiceWanted()));
$('start-other').addEventListener('click', () => chooseVoice(!isVoiceWanted()));
$('voice-wanted').addEventListener('change', ({ target }) => chooseVoice(target.checked));
$('voice').addEventListener('click', toggleVoice);
$('again').addEventListener('click', () => speech.repeat());
$('open-light').addEventListener('click', () => togglePanel('light'));
$('open-camera').addEventListener('click', () => togglePanel('camera'));
for (const name of ['words', 'choices']) $(`open-${name}`).addEventListener('click', () => togglePanel(name));
for (const [id, kind, fields] of [
  ['help', 'more-help'],
  ['skip', 'skip-pair'],
  ['again-from-start', 'start-again'],
  ['another', 'start-again'],
  ['practise-due', 'practise', () => ({ number: null })],
  ['practise-weakest', 'practise', () => ({ number: view.state.weakest.number })],
  ['see', 'see'],
  ['stop-practice', 'practise-no-more'],
]) {
  $(id).addEventListener('click', () => {
    tell(kind, fields?.());
    closePanels();
  });
}
document.querySelectorAll('.close').forEach((b) => b.addEventListener('click', closePanels));
$('relight').addEventListener('click', () => tell('relight'));
$('use-offer').addEventListener('click', () => useBrowserCamera());
$('calibrate').addEventListener('click', () => {
  tell(view.state.calibration ? 'stop-calibration' : 'start-calibration');
});
$('profile').addEventListener('change', ({ target }) => {
  if (target.value) tell('use-profile', { name: target.value });
});
$('profile-name').addEventListener('input', () => showName(view.state.profiles));
$('keep').addEventListener('submit', (event) => {
  event.preventDefault();
  const name = profileName();
  if (name) tell('keep-profile', { name });
});

['passed', 'sentence', 'why', 'hold', 'moves', 'turn-words', 'shorter', 'end', 'answers', 'waiting', 'trouble', 'word-say'].forEach((id) => keepFitting($(id)));
document.querySelectorAll('.notice').forEach(keepFitting);
// Nobody is left to listen.
addEventListener('pagehide', () => speech.comeBack());
showVoice();
showCameras();
connect();
