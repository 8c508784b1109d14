// Puts what pairsight sends on the page. Each field has one function; only fields that changed are given.

import { COLOURS, list, turnInWords } from './words.js';

const $ = (id) => document.getElementById(id);

export class View {
  constructor(picture) {
    this.picture = picture;
    this.state = {};
    this.drawn = '';
  }

  show(fields) {
    const before = { ...this.state };
    Object.assign(this.state, fields);
    const changed = (...names) => names.some((name) => name in fields);
    const { state } = this;
    if (changed('sentence')) showSentence(state.sentence);
    if (changed('why')) setText('why', state.why);
    if (changed('shorter')) setText('shorter', state.shorter);
    if (changed('rung')) showRung(state.rung);
    if (changed('seen')) showSeen(state.seen);
    if (changed('mirrored_feed')) this.picture.setMirroredFeed(state.mirrored_feed);
    if (changed('found')) this.picture.setFound(state.found);
    if (changed('drawing')) this.showDrawing(state.drawing);
    if (changed('moves', 'present')) showMoves(state.moves, state.present);
    if (changed('waiting')) setText('waiting', state.waiting);
    if (changed('trouble')) showNotice('trouble', state.trouble);
    if (changed('paused')) showPaused(state.paused);
    if (changed('light', 'calibration')) showLight(state, before.calibration);
    if (changed('light', 'profiles')) showProfiles(state.profiles, state.light);
  }

  /** An image, not part of the page, so nothing in the drawing can reach the page. */
  showDrawing(drawing) {
    const image = $('drawing');
    URL.revokeObjectURL(this.drawn);
    image.hidden = !drawing;
    image.alt = drawing?.description ?? '';
    setText('hold', image.alt);
    this.drawn = drawing ? URL.createObjectURL(new Blob([drawing.svg], { type: 'image/svg+xml' })) : '';
    if (drawing) image.src = this.drawn;
    else image.removeAttribute('src');
  }
}

/** Shows a sentence in a notice, or takes the notice away. */
export function showNotice(id, words) {
  $(id).hidden = !words;
  setText(id, words ?? '');
}

/** Live regions speak on every write, so equal words are not written again. */
export function setText(id, words) {
  const element = $(id);
  if (element.textContent !== words) element.textContent = words;
}

export function element(name, className, words = '') {
  const made = document.createElement(name);
  made.className = className;
  made.textContent = words;
  return made;
}

/** Long sentences are set smaller, so that the picture and the cube keep their place. */
function showSentence(words) {
  $('sentence').className = words.length > 150 ? 'longest' : words.length > 80 ? 'long' : '';
  setText('sentence', words);
}

function showRung(rung) {
  const level = Math.max(0, Math.min(4, rung));
  $('rung').hidden = level === 0;
  setText('rung-words', `Help ${level} of 4`);
  $('rung-dots').replaceChildren(...[1, 2, 3, 4].map((n) => element('i', n <= level ? 'lit' : '')));
}

function showSeen(seen) {
  $('seen').replaceChildren(...Object.entries(COLOURS).map(([colour, { letter }]) => {
    const there = seen.includes(colour);
    const token = element('li', `token ${there ? `seen ${colour}` : 'unseen'}`);
    const mark = element('span', '', letter);
    mark.setAttribute('aria-hidden', 'true');
    token.append(mark, element('span', 'aside', `${colour}: ${there ? 'seen' : 'not seen yet'}`));
    return token;
  }));
}

function showMoves(moves, present) {
  $('turns').hidden = moves.length === 0;
  $('moves').classList.toggle('many', moves.length > 9);
  $('moves').replaceChildren(...moves.map((move, n) => {
    const item = element('li', n < present ? 'made' : n === present ? 'now' : '');
    const sign = element('span', '', move.replace("'", '’'));
    sign.setAttribute('aria-hidden', 'true');
    item.append(sign, element('span', 'aside', turnInWords(move) + (n < present ? ', made' : '')));
    if (n === present) item.setAttribute('aria-current', 'step');
    return item;
  }));
  const words = present < moves.length ? turnInWords(moves[present]) : 'All turns made';
  setText('turn-words', `${words[0]?.toUpperCase() ?? ''}${words.slice(1)}`);
}

function showPaused(paused) {
  $('paused').hidden = !paused;
  document.body.classList.toggle('at-rest', paused);
}

/** "red and orange lie closest, 14 apart": the two colours that are hardest to tell apart. */
function closestInWords(closest) {
  return closest ? `${list([closest.a, closest.b])} lie closest, ${closest.distance.toFixed(0)} apart` : '';
}

function lightInWords({ like_profile: like, relit, distance }) {
  if (!like) return `light has changed${distance == null ? '' : ` (${distance.toFixed(1)} apart)`}`;
  return relit ? 'colours taken from the cube' : 'light as calibrated';
}

function percent(share) {
  const value = share * 100;
  return `${value < 10 ? value.toFixed(1) : value.toFixed(0)} %`;
}

function showLight({ light, calibration, profiles }, before) {
  const like = !light || light.like_profile;
  setText('light', light ? `${light.profile}: ${lightInWords(light)}` : '');
  $('light').classList.toggle('changed', !like);
  $('light-changed').hidden = like || Boolean(calibration);

  const { closest, advice } = calibration ?? light ?? {};
  const words = closestInWords(closest);
  setText('closest', words && `${words[0].toUpperCase()}${words.slice(1)}.`);
  setText('light-advice', advice ?? '');
  $('calibrate').textContent = calibration ? 'Stop calibrating' : 'Calibrate';
  showSwatches(calibration?.swatches, closest);
  showDoubtful(calibration ?? light ?? {}, Boolean(light));
  $('keep').hidden = !calibration?.complete;
  if (calibration?.complete && !before?.complete) {
    $('profile-name').value = calibration.name;
    showName(profiles);
  }
}

function showSwatches(swatches, closest) {
  const all = swatches ? Object.entries(COLOURS) : [];
  $('swatches').replaceChildren(...all.map(([colour, { letter }]) => {
    const swatch = swatches.find((s) => s.colour === colour);
    const close = closest && [closest.a, closest.b].includes(colour);
    const item = element('li', `swatch ${swatch ? '' : 'unseen'} ${close ? 'close' : ''}`);
    const patch = element('span', 'patch', letter);
    if (swatch) {
      patch.style.backgroundColor = `rgb(${swatch.rgb.join(' ')})`;
      patch.style.color = inkOn(swatch.rgb);
    }
    item.append(patch, element('span', 'name', swatch ? colour : `${colour}?`));
    return item;
  }));
}

/** What stickers, each looked at alone, will be doubtful: by the colours known before, and by the new ones. */
function showDoubtful({ doubtful_before: before, doubtful_after: after }, profile) {
  const parts = [];
  if (before != null) parts.push(`${percent(before)} ${profile ? 'by the profile' : 'without a profile'}`);
  if (after != null) parts.push(`${percent(after)} by these colours`);
  setText('doubtful', parts.length ? `Doubtful stickers in this light: ${parts.join(', ')}.` : '');
}

function showProfiles(profiles, light) {
  $('profiles').hidden = !profiles?.length;
  const options = (profiles ?? []).map((name) => new Option(name, name, false, name === light?.profile));
  if (!light) options.unshift(new Option('none', '', true, true));
  $('profile').replaceChildren(...options);
  showName(profiles);
}

/** Letters and digits of any script; all else becomes a dash, as the name is also a file's. */
export function profileName() {
  return $('profile-name').value.replace(/[^\p{L}\p{N}_]+/gu, '-').replace(/^-+|-+$/g, '');
}

/** What becomes of the name as it is typed. */
export function showName(profiles) {
  const name = profileName();
  const there = (profiles ?? []).includes(name);
  const typed = $('profile-name').value.trim();
  $('profile-name').setCustomValidity(name || !typed ? '' : 'Use letters or digits.');
  $('keep-button').textContent = there ? 'Replace' : 'Keep';
  const words = there ? `This takes the place of the profile “${name}”.` : name !== typed ? `Kept as “${name}”.` : '';
  setText('name-note', name ? words : '');
}

/** Black or white, whichever stands out more: relative luminance after WCAG 2.2. */
function inkOn(rgb) {
  const [r, g, b] = rgb.map((n) => {
    const v = n / 255;
    return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * r + 0.7152 * g + 0.0722 * b > 0.179 ? '#000000' : '#ffffff';
}
