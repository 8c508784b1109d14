// The turns of a hint as chips, grouped by idea: made ones ticked, the present one marked.

import { element } from './element.js';
import { COLOURS } from './words.js';

/** @param groups of `{ idea, moves, words }`; @param present the index over all groups of the turn to make now */
export function showTurns(list, groups, present) {
  let index = 0;
  list.replaceChildren(...groups.map(({ idea, moves, words }) => {
    const group = element('li', 'idea');
    const chips = element('ol', 'chips');
    chips.append(...moves.map((move, n) => chip(move, words[n], index++, present)));
    group.append(element('span', 'name', idea), chips);
    return group;
  }));
}

/** The corner and the edge to look for, each as its colours side by side. */
export function showPieces(list, pieces) {
  list.replaceChildren(...pieces.map((colours) => {
    const group = element('li', 'idea');
    const patches = element('ol', 'patches');
    patches.append(...colours.map((colour) => {
      const patch = element('li', `patch-of seen ${colour}`, COLOURS[colour].letter);
      patch.setAttribute('aria-label', colour);
      return patch;
    }));
    group.append(element('span', 'name', colours.length === 3 ? 'Corner' : 'Edge'), patches);
    return group;
  }));
}

function chip(move, words, index, present) {
  const state = index < present ? 'made' : index === present ? 'now' : '';
  const item = element('li', `turn ${state}`);
  const sign = element('span', 'sign', move.replace("'", '’'));
  sign.setAttribute('aria-hidden', 'true');
  item.append(sign, element('span', 'aside', words + (state === 'made' ? ', made' : '')));
  if (state === 'now') item.setAttribute('aria-current', 'step');
  return item;
}

/** The present turn in words, as a sentence without its stop. */
export function presentInWords(groups, present) {
  const all = groups.flatMap((group) => group.words);
  if (!all.length) return '';
  const words = all[present] ?? 'all turns made';
  return `${words[0]?.toUpperCase() ?? ''}${words.slice(1)}`;
}
