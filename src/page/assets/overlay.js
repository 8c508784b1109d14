// What lies on the live picture: before a cube is found a dashed one of the right size, later the arrow of the present turn.

import { FACES, cross, dot, layersOf, plus, times } from './solid.js';

const DARK = '#14181f';
const LIGHT = '#fbf9f4';

/** Share of the picture's height that a cube should fill: large enough to read, small enough for hands around it. */
const SIZE = 0.56;

/** Of nine stickers so many must be as they are known, or the face may be another or turned already. */
const ALIKE = 8;

/** A dashed cube in the middle, a corner towards the camera. */
export function drawGuide(ink, width, height) {
  const radius = (SIZE * height) / 2;
  const corner = (n) => [width / 2 + radius * Math.sin((n * Math.PI) / 3), height / 2 - radius * Math.cos((n * Math.PI) / 3)];
  ink.beginPath();
  [0, 1, 2, 3, 4, 5].forEach((n) => ink.lineTo(...corner(n)));
  ink.closePath();
  for (const n of [1, 3, 5]) {
    ink.moveTo(width / 2, height / 2);
    ink.lineTo(...corner(n));
  }
  const unit = Math.max(1.5, height / 160);
  ink.lineJoin = 'round';
  for (const [style, wide, dash] of [[DARK, 2.4, []], [LIGHT, 1.2, [unit * 5, unit * 4]]]) {
    ink.strokeStyle = style;
    ink.globalAlpha = style === DARK ? 0.45 : 0.95;
    ink.lineWidth = unit * wide;
    ink.setLineDash(dash);
    ink.stroke();
  }
  ink.setLineDash([]);
  ink.globalAlpha = 1;
}

/**
 * The arrow of a turn on the faces that are found, by their colours, however the cube is held.
 * @param faces `{ at, stickers }`: `at` maps the unit square of the found face to the canvas, rows along its first axis
 */
export function drawTurn(ink, faces, known, turn) {
  const layers = layersOf(turn);
  if (!layers || layers.whole || !known) return;
  for (const { at, stickers, size } of faces) {
    if (!stickers) continue;
    const path = pathOn(stickers, known, layers);
    if (path) drawArrow(ink, path.map(([x, y]) => at((x + 1.5) / 3, (y + 1.5) / 3)), size);
  }
}

/** The arrow's points on a found face, its middle at (0, 0), each sticker 1 wide; none on a face that the turn does not show on. */
function pathOn(stickers, known, { face, from, to, degrees }) {
  const index = known.findIndex((all) => all[4].colour === stickers[1][1].colour);
  const roll = index < 0 ? null : rollOf(stickers, known[index]);
  if (roll == null) return null;
  const { out, right, down } = Object.values(FACES)[index];
  const axis = FACES[face].out;
  const sign = Math.sign(degrees);
  let path;
  if (dot(out, axis) === 0) {
    const way = times(cross(out, axis), sign);
    const strip = times(axis, (from + to) / 2);
    path = [-1.2, 1.2].map((s) => plus(strip, times(way, s))).map((p) => [dot(p, right), dot(p, down)]);
  } else if (dot(out, axis) > 0 && to === 1.5) {
    path = [...Array(19).keys()].map((n) => ((sign * n * 15 - 135) * Math.PI) / 180).map((t) => [Math.cos(t), Math.sin(t)]);
  } else {
    return null;
  }
  for (let n = 0; n < roll; n += 1) path = path.map(([x, y]) => [y, -x]);
  return path;
}

/** The quarter turns between a face as found and as known; none where that is not clear. */
function rollOf(stickers, known) {
  const alike = [0, 1, 2, 3].map((roll) => {
    let count = 0;
    stickers.forEach((row, r) => row.forEach(({ colour }, c) => {
      let [x, y] = [c - 1, r - 1];
      for (let n = 0; n < roll; n += 1) [x, y] = [-y, x];
      if (known[3 * (y + 1) + x + 1].colour === colour) count += 1;
    }));
    return count;
  });
  const best = Math.max(...alike);
  const fits = alike.filter((count) => count === best);
  return best >= ALIKE && fits.length === 1 ? alike.indexOf(best) : null;
}

function drawArrow(ink, path, size) {
  const [before, end] = path.slice(-2);
  const length = Math.hypot(end[0] - before[0], end[1] - before[1]) || 1;
  const way = [0, 1].map((i) => (end[i] - before[i]) / length);
  const width = Math.max(3, size * 0.22);
  const from = (back, aside) => [end[0] - way[0] * back - way[1] * aside, end[1] - way[1] * back + way[0] * aside];
  ink.lineJoin = 'round';
  ink.lineCap = 'round';
  for (const [style, more] of [[LIGHT, width * 0.8], [DARK, 0]]) {
    ink.strokeStyle = style;
    ink.fillStyle = style;
    ink.lineWidth = width + more;
    ink.beginPath();
    path.slice(0, -1).forEach((p) => ink.lineTo(...p));
    ink.lineTo(...from(width, 0));
    ink.stroke();
    ink.lineWidth = Math.max(1, more);
    ink.beginPath();
    [from(-width, 0), from(width * 1.2, width * 1.5), from(width * 1.2, -width * 1.5)].forEach((p) => ink.lineTo(...p));
    ink.closePath();
    ink.fill();
    if (more) ink.stroke();
  }
}
