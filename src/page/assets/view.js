// Puts what pairsight sends on the page. Each field has one function; only fields that changed are given.

import { PACES } from './choices.js';
import { Clock } from './clock.js';
import { byId as $, element, setText } from './element.js';
import { showLight, showProfiles } from './light.js';
import { Living } from './living.js';
import { mapInWords, showMap } from './map.js';
import { showAnswers } from './seeing.js';
import { presentInWords, showPieces, showTurns } from './turns.js';
import { COLOURS } from './words.js';

export class View {
  /** @param said takes the place of an answer that is chosen, or null for the next question */
  constructor(picture, said) {
    this.picture = picture;
    this.said = said;
    this.state = {};
    this.living = new Living($('cube'), $('behind-cube'), $('after-cube'));
    this.clock = new Clock();
  }

  show(fields) {
    const before = { ...this.state };
    Object.assign(this.state, fields);
    const changed = (...names) => names.some((name) => name in fields);
    const { state } = this;
    if (changed('scene')) {
      document.body.dataset.scene = state.scene;
      this.picture.setLooking(state.scene === 'looking');
    }
    if (changed('passed')) setText('passed', state.passed);
    if (changed('sentence')) setText('sentence', state.sentence);
    if (changed('why')) setText('why', state.why);
    if (changed('shorter')) setText('shorter', state.shorter);
    if (changed('choices')) this.living.slower = PACES[state.choices.pace].slower;
    if (changed('clock', 'choices')) this.clock.show(state.clock, state.choices.timer);
    if (changed('progress', 'weakest', 'practising')) showEnd(state);
    if (changed('seeing')) showAnswers($('answers'), state.seeing, this.said);
    if (changed('rung')) showRung(state.rung);
    if (changed('seen', 'asked')) showSeen(state.seen, state.asked ?? []);
    if (changed('mirrored_feed')) this.picture.setMirroredFeed(state.mirrored_feed);
    if (changed('found')) this.picture.setFound(state.found);
    if (changed('turns', 'present', 'drawing', 'pieces', 'shorter', 'term')) this.showCube(state, before);
    if (changed('progress')) showProgress(state.progress);
    if (changed('waiting')) setText('waiting', state.waiting);
    if (changed('trouble')) showNotice('trouble', state.trouble);
    if (changed('light', 'calibration')) showLight(state, before.calibration);
    if (changed('light', 'profiles')) showProfiles(state.profiles, state.light);
  }

  /** The cube with the turn to make now, and all turns as chips. */
  showCube({ drawing, turns = [], present = 0, pieces = [], shorter, term }, before) {
    const moves = turns.flatMap((group) => group.moves);
    const followed = present > 0 && present === (before.present ?? 0) + 1;
    $('cube').toggleAttribute('hidden', !drawing);
    $('cube').setAttribute('aria-label', drawing?.description ?? '');
    setText('hold', drawing?.description ?? '');
    if (drawing) this.living.show(drawing.stickers, moves[present] ?? null, drawing.from_left, followed);
    this.picture.setTurn(drawing?.stickers, moves[present]);
    document.body.classList.toggle('turning', present < moves.length);
    if (moves.length || !pieces.length || shorter) showTurns($('moves'), turns, present);
    else showPieces($('moves'), pieces);
    setText('turn-words', presentInWords(turns, present) || (shorter ? '' : term ?? ''));
    $('turn-words').classList.toggle('term', !moves.length);
  }
}

/** Shows a sentence in a notice, or takes the notice away. */
export function showNotice(id, words) {
  $(id).hidden = !words;
  setText(id, words ?? '');
}

function showRung(rung) {
  const level = Math.max(0, Math.min(4, rung));
  $('rung').hidden = level === 0;
  setText('rung-words', `Help ${level} of 4`);
  $('rung-dots').replaceChildren(...[1, 2, 3, 4].map((n) => element('i', n <= level ? 'lit' : '')));
}

/** Faces that are asked for are not ticked, whether they were seen before or not. */
function showSeen(seen, asked) {
  $('seen').replaceChildren(...Object.entries(COLOURS).map(([colour, { letter }]) => {
    const wanted = asked.includes(colour);
    const there = seen.includes(colour) && !wanted;
    const token = element('li', `token ${there ? `seen ${colour}` : 'unseen'} ${wanted ? 'asked' : ''}`);
    const mark = element('span', '', letter);
    mark.setAttribute('aria-hidden', 'true');
    token.append(mark, element('span', 'aside', `${colour}: ${wanted ? 'asked for' : there ? 'seen' : 'not seen yet'}`));
    return token;
  }));
}

/** At the end: what to practise, and another cube. */
function showEnd({ progress, weakest, practising }) {
  $('end').hidden = !progress?.last || practising;
  $('practise-weakest').hidden = !weakest;
  setText('practise-weakest', weakest ? `Practise: ${weakest.name}` : '');
}

function showProgress(progress) {
  $('progress').hidden = !progress;
  if (!progress) return;
  showMap($('map'), progress);
  const words = mapInWords(progress);
  $('map').setAttribute('aria-label', words);
  setText('map-words', words);
}
