// What can be chosen: the form shows the choices that pairsight holds, and tells it what is changed.

import { byId as $, setText } from './element.js';
import { COLOURS } from './words.js';

/** How much slower than usual turns move, and how fast a voice speaks, at each pace. */
export const PACES = {
  calm: { slower: 1.7, rate: 0.85 },
  usual: { slower: 1, rate: 1 },
  brisk: { slower: 0.6, rate: 1.2 },
};

/** Boxes whose names are those of their choices. That for the voice has more to do. */
const TICKS = ['tones', 'timer', 'terms'];

export class Choices {
  /** @param changed called with all choices when one was made, and with that one */
  constructor(changed) {
    this.now = {};
    this.changed = changed;
    $('cross').replaceChildren(new Option('the one that suits the cube', ''), ...Object.keys(COLOURS).map((c) => new Option(c, c)));
    const pick = (id, take) => $(id).addEventListener('change', ({ target }) => this.choose({ [id]: take(target) }));
    pick('cross', ({ value }) => value || null);
    pick('level', ({ value }) => Number(value) || null);
    pick('pace', ({ value }) => value);
    pick('mirrored', ({ value }) => ({ yes: true, no: false })[value] ?? null);
    for (const id of TICKS) pick(id, ({ checked }) => checked);
  }

  /** @param one the choice by its name */
  choose(one) {
    this.changed({ ...this.now, ...one }, one);
  }

  show(choices, levels) {
    this.now = choices;
    $('level').replaceChildren(new Option('the highest that is open', '', false, choices.level == null), ...levels.map(({ number, name, opens }) => {
      const option = new Option(`${number}: ${name}`, number, false, number === choices.level);
      option.disabled = Boolean(opens);
      return option;
    }));
    const closed = levels.find((level) => level.opens);
    setText('level-note', closed ? `Level ${closed.number} (${closed.name}) ${closed.opens}.` : '');
    $('cross').value = choices.cross ?? '';
    $('pace').value = choices.pace;
    $('mirrored').value = { true: 'yes', false: 'no' }[choices.mirrored] ?? '';
    for (const id of TICKS) $(id).checked = choices[id];
    $('voice-wanted').checked = choices.voice;
  }
}
