// A drawn cube that can turn: SVG made of the layers that stand and those that move, each a box whose outside is seen or not.

import { strokesOf } from './letters.js';
import { Eye, FACES, cross, dot, layersOf, middleOf, plus, times, turned, unit } from './solid.js';
import { COLOURS } from './words.js';

const RISE = 30;
const PLASTIC = '#262a33';
const LIGHT = '#fbf9f4';
/** A sticker that has not been seen, or whose colour does not matter. */
const BLANK = '#6b707b';
/** Half the width of a sticker in its cell. */
const HALF = 0.405;
const LETTER = 0.44;

export class Cube {
  /** @param extra degrees that this view stands away from the usual one: 180 looks from behind */
  constructor(svg, extra = 0) {
    this.svg = svg;
    this.extra = extra;
    this.side = 36;
    this.stickers = null;
    this.turn = null;
    this.angle = 0;
    this.built = '';
  }

  /** Shows a cube with the turn to make; both may be null. */
  show(stickers, turn) {
    this.stickers = stickers;
    this.turn = layersOf(turn);
    this.angle = 0;
    this.build();
  }

  /** Looks from so many degrees to the right of the front. */
  lookFrom(side) {
    this.side = side;
    if (this.stickers) this.build();
  }

  /** Turns the layers to a share of the turn, 0 to 1; the arrow is seen as far as `arrow` says. */
  pose(share, arrow) {
    if (!this.stickers) return;
    const angle = this.turn ? this.turn.degrees * share : 0;
    if (angle !== this.angle) {
      this.angle = angle;
      for (const layer of this.layers) if (layer.moves) this.place(layer);
    }
    this.arrow?.setAttribute('opacity', arrow.toFixed(3));
  }

  build() {
    this.eye = new Eye(this.side + this.extra, RISE);
    this.svg.replaceChildren();
    this.layers = layersFor(this.turn).map((layer) => ({ ...layer, faces: this.facesOf(layer) }));
    const axis = this.turn ? FACES[this.turn.face].out : [0, 1, 0];
    // Boxes between parallel planes hide one another in the order of their distance along the planes' axis.
    const eye = this.eye.along(axis);
    this.layers.sort((a, b) => Math.abs(eye - b.from - b.to) - Math.abs(eye - a.from - a.to));
    this.ring(true);
    for (const layer of this.layers) {
      layer.group = add(this.svg, 'g', {});
      for (const face of layer.faces) this.draw(face, layer.group);
      layer.marks = ['slot', 'pair'].map((kind) => marks(layer.group, kind));
      this.place(layer);
    }
    this.arrow = this.turn ? this.drawArrow() : null;
  }

  /** The sides of a box of layers, with the stickers on them. */
  facesOf({ axis, from, to }) {
    return Object.entries(FACES).map(([name, face], n) => {
      const along = axis ? dot(face.out, axis) : 0;
      const at = along === 0 ? 1.5 : along > 0 ? to : -from;
      const reach = (way) => (axis && dot(way, axis) !== 0 ? [from, to].map((v) => v * dot(way, axis)).sort((a, b) => a - b) : [-1.5, 1.5]);
      const [x, y] = [reach(face.right), reach(face.down)];
      const corner = (i, j) => plus(times(face.out, at), plus(times(face.right, x[i]), times(face.down, y[j])));
      const stickers = at === 1.5 ? [...Array(9).keys()]
        .map((i) => ({ ...this.stickers[n][i], middle: middleOf(face, i), face }))
        .filter(({ middle }) => !axis || inside(dot(middle, axis), from, to)) : [];
      return { name, face, plate: [corner(0, 0), corner(1, 0), corner(1, 1), corner(0, 1)], stickers };
    });
  }

  draw(side, group) {
    side.group = add(group, 'g', {});
    side.shape = add(side.group, 'polygon', { fill: PLASTIC, stroke: PLASTIC, 'stroke-width': 0.1, 'stroke-linejoin': 'round' });
    side.upright = upright(side.face, this.eye);
    for (const sticker of side.stickers) {
      const known = COLOURS[sticker.colour];
      const fill = sticker.blank || !known ? BLANK : known.plate;
      const pale = sticker.dim ? 0.46 : 1;
      sticker.shape = add(side.group, 'polygon', {
        fill, stroke: fill, 'stroke-width': 0.11, 'stroke-linejoin': 'round', opacity: pale,
      });
      if (sticker.blank || !known) continue;
      sticker.strokes = strokesOf(known.letter);
      sticker.letter = add(side.group, 'path', {
        fill: 'none', stroke: known.ink, 'stroke-width': 0.075, 'stroke-linecap': 'round', 'stroke-linejoin': 'round', opacity: sticker.dim ? 0.75 : 1,
      });
    }
    side.shade = add(side.group, 'polygon', { fill: '#000000' });
  }

  /** Puts a box where it is now. */
  place(layer) {
    const { eye } = this;
    const turn = layer.moves ? (p) => turned(p, layer.axis, this.angle) : (p) => p;
    const flat = (p) => eye.project(turn(p));
    for (const side of layer.faces) {
      const out = turn(side.face.out);
      side.seen = eye.sees(out, turn(side.plate[0]));
      side.group.setAttribute('display', side.seen ? 'inline' : 'none');
      if (!side.seen) continue;
      const plate = points(side.plate.map(flat));
      side.shape.setAttribute('points', plate);
      side.shade.setAttribute('points', plate);
      side.shade.setAttribute('opacity', (0.13 * (1 - Math.max(0, dot(out, eye.up) * 0.75 + dot(out, eye.toward) * 0.45 - dot(out, eye.right) * 0.25))).toFixed(3));
      const { right, down } = side.face;
      for (const sticker of side.stickers) {
        const at = (x, y) => flat(plus(sticker.middle, plus(times(right, x), times(down, y))));
        sticker.shape.setAttribute('points', points([at(-HALF, -HALF), at(HALF, -HALF), at(HALF, HALF), at(-HALF, HALF)]));
        if (!sticker.letter) continue;
        const [along, below] = side.upright;
        const write = ([x, y]) => flat(plus(sticker.middle, plus(times(along, x * LETTER), times(below, y * LETTER))));
        sticker.letter.setAttribute('d', sticker.strokes.map((c) => (typeof c === 'string' ? c : pair(write(c)))).join(' '));
      }
    }
    for (const mark of layer.marks) {
      const path = openSides(layer.faces, mark.kind)
        .map((line) => line.map(flat)).map(([a, b]) => `M${pair(a)}L${pair(b)}`).join('');
      mark.paths.forEach((p) => p.setAttribute('d', path));
    }
  }

  drawArrow() {
    const group = add(this.svg, 'g', { class: 'arrow' });
    if (this.turn.whole) {
      // The small views have no room for it.
      if (!this.extra) this.ring(false, group);
      return group;
    }
    const { face, from, to, degrees, half } = this.turn;
    const axis = FACES[face].out;
    const seen = Object.values(FACES).filter(({ out }) => this.eye.sees(out, times(out, 1.5)) && dot(out, axis) === 0);
    const [a, b] = seen.map(({ out }) => out);
    if (!b) return group;
    const forward = dot(cross(a, axis), b) > 0 === degrees > 0;
    const [start, end] = forward ? [a, b] : [b, a];
    // Near the rim of an outer layer, so that the letters under it can be read.
    const rim = times(axis, to - from === 1 && to === 1.5 ? 1.34 : (from + to) / 2);
    const at = (s, e) => this.eye.project(plus(rim, plus(times(start, s), times(end, e))));
    arrow(group, rounded(at(1.56, -1.05), at(1.56, 1.56), at(-1, 1.56)), half);
    return group;
  }

  /** The arrow of the whole cube runs along a ring around it; its far half lies behind the cube. */
  ring(behind, group = this.svg) {
    if (!this.turn?.whole || this.extra) return;
    const axis = FACES[this.turn.face].out;
    const { toward } = this.eye;
    const facing = unit(plus(toward, times(axis, -dot(toward, axis))));
    const aside = cross(facing, axis);
    const sign = this.turn.degrees < 0 ? -1 : 1;
    const at = (degrees) => {
      const t = (sign * degrees * Math.PI) / 180;
      return this.eye.project(plus(times(plus(times(facing, Math.cos(t)), times(aside, Math.sin(t))), 2.3), times(axis, -0.4)));
    };
    const path = (from, to) => [...Array(25).keys()].map((i) => at(from + ((to - from) * i) / 24));
    if (behind) add(group, 'polyline', { points: points(path(115, 245)), fill: 'none', stroke: PLASTIC, 'stroke-opacity': 0.35, 'stroke-width': 0.16 });
    else arrow(group, path(-72, 66), this.turn.half);
  }
}

const SVG = 'http://www.w3.org/2000/svg';

function add(parent, name, attributes) {
  const made = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  parent.append(made);
  return made;
}

const pair = ([x, y]) => `${x.toFixed(3)} ${y.toFixed(3)}`;
const points = (all) => all.map(([x, y]) => `${x.toFixed(3)},${y.toFixed(3)}`).join(' ');
const inside = (value, from, to) => Math.min(1, Math.max(-1, value)) > from && Math.min(1, Math.max(-1, value)) < to;

/** The boxes that a turn cuts the cube into. */
function layersFor(turn) {
  if (!turn || turn.whole) return [{ axis: turn ? FACES[turn.face].out : null, from: -1.5, to: 1.5, moves: Boolean(turn) }];
  const axis = FACES[turn.face].out;
  return [[-1.5, turn.from, false], [turn.from, turn.to, true], [turn.to, 1.5, false]]
    .filter(([from, to]) => to > from)
    .map(([from, to, moves]) => ({ axis, from, to, moves }));
}

/** The axes of a letter, turned by quarters until it stands as upright as it can be seen. */
function upright({ right, down }, eye) {
  const ways = [[right, down], [times(down, -1), right], [times(right, -1), times(down, -1)], [down, times(right, -1)]];
  const stands = ([x, y]) => eye.project(x)[0] + eye.project(y)[1];
  return ways.reduce((best, way) => (stands(way) > stands(best) + 1e-9 ? way : best));
}

/** Paths around what is marked, in light and dark only: whole around each piece of the pair, broken around the slot. */
function marks(group, kind) {
  const line = (stroke, width, more = {}) => add(group, 'path', { fill: 'none', stroke, 'stroke-width': width, 'stroke-linecap': 'round', ...more });
  const paths = kind === 'slot'
    ? [line(PLASTIC, 0.2), line(LIGHT, 0.12, { 'stroke-dasharray': '0.17 0.165', 'stroke-linecap': 'butt' })]
    : [line(LIGHT, 0.3, { class: 'glow' }), line(PLASTIC, 0.19), line(LIGHT, 0.11)];
  return { kind, paths };
}

/** The lines along marked and seen stickers, but for those between two of the same whole: a piece, or the slot. */
function openSides(faces, kind) {
  const sides = new Map();
  for (const side of faces.filter((f) => f.seen)) {
    for (const sticker of side.stickers.filter((s) => s[kind])) {
      const { out, right, down } = side.face;
      const piece = kind === 'pair' ? plus(sticker.middle, times(out, -0.5)).join() : '';
      for (const [to, along] of [[right, down], [down, right], [times(right, -1), down], [times(down, -1), right]]) {
        const middle = plus(sticker.middle, times(to, 0.5));
        const key = `${middle.join()} ${piece}`;
        if (sides.has(key)) sides.set(key, null);
        else sides.set(key, [plus(middle, times(along, -0.5)), plus(middle, times(along, 0.5))]);
      }
    }
  }
  return [...sides.values()].filter(Boolean);
}

/** A bent line with its corner rounded off. */
function rounded(a, b, c) {
  const mix = (p, q, t) => [0, 1].map((i) => p[i] + (q[i] - p[i]) * t);
  const [before, after] = [mix(b, a, 0.3), mix(b, c, 0.3)];
  const bend = [...Array(9).keys()].map((i) => mix(mix(before, b, i / 8), mix(b, after, i / 8), i / 8));
  return [a, ...bend, c];
}

/** A line with a head at its end, dark with a light edge and a dark one around that; a half turn has two heads. */
function arrow(group, path, twice) {
  const width = 0.17;
  const [before, end] = path.slice(-2);
  const length = Math.hypot(end[0] - before[0], end[1] - before[1]) || 1;
  const way = [0, 1].map((i) => (end[i] - before[i]) / length);
  const aside = [-way[1], way[0]];
  const from = (tip, back, out) => [0, 1].map((i) => tip[i] - way[i] * back + aside[i] * out);
  const head = (tip) => [tip, from(tip, width * 2, width * 1.35), from(tip, width * 2, -width * 1.35)];
  const heads = [head(from(end, -width, 0))];
  if (twice) heads.push(head(from(end, width * 1.1, 0)));
  const line = points([...path.slice(0, -1), from(end, width * 0.6, 0)]);
  for (const [stroke, more] of [[PLASTIC, width * 0.75], [LIGHT, width * 0.4], [PLASTIC, 0]]) {
    add(group, 'polyline', { points: line, fill: 'none', stroke, 'stroke-width': width + more, 'stroke-linejoin': 'round', 'stroke-linecap': 'round' });
    for (const tip of heads) add(group, 'polygon', { points: points(tip), fill: stroke, stroke, 'stroke-width': more + width * 0.2, 'stroke-linejoin': 'round' });
  }
}
