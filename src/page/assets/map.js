// The solve as a small map, the cube seen from above: the cross in the middle, a slot at each corner, the last layer around.

import { COLOURS } from './words.js';

const SVG = 'http://www.w3.org/2000/svg';

/**
 * @param progress `{ cross, cross_colour, slots: [{ colours, place, solved, now }], last }`; a slot's `place` is as the cube is
 * held ("front right"), its `colours` those of the front or the back and of the side
 */
export function showMap(svg, { cross, slots, last, cross_colour: colour }) {
  svg.replaceChildren();
  const add = (name, attributes) => {
    const made = document.createElementNS(SVG, name);
    for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
    svg.append(made);
    return made;
  };
  add('rect', { x: 4, y: 4, width: 92, height: 92, rx: 10, class: last ? 'ring done' : 'ring' });
  add('path', { d: 'M38 14h24v24h24v24h-24v24h-24v-24h-24v-24h24z', class: cross ? 'part done' : 'part', fill: cross ? COLOURS[colour].plate : 'none' });
  if (cross) tick(add, 50, 50, COLOURS[colour].ink, 1.25);
  for (const { colours, place, solved, now } of slots) {
    const x = place.includes('right') ? 64 : 16;
    const y = place.includes('front') ? 64 : 16;
    if (solved) {
      const [ahead, aside] = colours.map((name) => COLOURS[name].plate);
      // The colour of the front or the back, and over it that of the side.
      add('path', { d: `M${x} ${y}h20v20h-20z`, fill: ahead });
      const [out, within] = x > 50 ? [x + 20, x] : [x, x + 20];
      add('path', { d: `M${out} ${y}v20L${within} ${y > 50 ? y : y + 20}z`, fill: aside });
    }
    add('rect', { x, y, width: 20, height: 20, rx: 3, class: `part ${solved ? 'done' : ''} ${now ? 'now' : ''}` });
    if (solved) {
      add('circle', { cx: x + 10, cy: y + 10, r: 7.5, class: 'coin' });
      tick(add, x + 10, y + 10, null, 0.8);
    }
  }
}

function tick(add, x, y, ink, size) {
  const at = (dx, dy) => `${x + dx * size} ${y + dy * size}`;
  add('path', { d: `M${at(-5, 0.5)}L${at(-1.5, 4)}L${at(5, -4)}`, class: 'tick', ...(ink ? { stroke: ink } : {}) });
}

/** The map in words. */
export function mapInWords({ cross, slots, last }) {
  if (last) return 'Solved';
  const done = slots.filter((slot) => slot.solved).length;
  if (!cross) return 'Cross first';
  return done === 4 ? 'Last layer' : `${done} of 4 pairs`;
}
