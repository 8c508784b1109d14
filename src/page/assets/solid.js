// The cube in space and how it is seen: x right, y up, z to the learner, centre at the origin, each sticker one unit wide.

const X = [1, 0, 0];
const Y = [0, 1, 0];
const Z = [0, 0, 1];

/** Vectors are arrays of three. */
export const plus = (a, b) => [a[0] + b[0], a[1] + b[1], a[2] + b[2]];
export const times = (a, k) => [a[0] * k, a[1] * k, a[2] * k];
export const dot = (a, b) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
export const cross = (a, b) => [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
export const unit = (a) => times(a, 1 / Math.hypot(...a));
const minus = (a) => times(a, -1);

/**
 * The faces in the order in which pairsight lists them: the way out, along a row and down a column as read looking straight
 * at the face in the unfolded net.
 */
export const FACES = {
  U: { out: Y, right: X, down: Z },
  R: { out: X, right: minus(Z), down: minus(Y) },
  F: { out: Z, right: X, down: minus(Y) },
  D: { out: minus(Y), right: X, down: minus(Z) },
  L: { out: minus(X), right: Z, down: minus(Y) },
  B: { out: minus(Z), right: minus(X), down: minus(Y) },
};

/** The middle of sticker `index` (0 to 8, reading order) of a face. */
export function middleOf({ out, right, down }, index) {
  const [column, row] = [(index % 3) - 1, Math.floor(index / 3) - 1];
  return plus(times(out, 1.5), plus(times(right, column), times(down, row)));
}

/** A point turned about the way out of a face, clockwise as seen from outside, by so many degrees. */
export function turned(point, axis, degrees) {
  const t = (-degrees * Math.PI) / 180;
  const along = times(axis, dot(point, axis));
  const off = plus(point, minus(along));
  return plus(along, plus(times(off, Math.cos(t)), times(cross(axis, off), Math.sin(t))));
}

/** The layers that a turn moves, from `from` to `to` along the way out of `face`, and its clockwise degrees. */
export function layersOf(turn) {
  const parts = /^([RLUDFBMESxyz])(w?)(2?)('?)$/.exec(turn ?? '');
  if (!parts) return null;
  const [, letter, wide, twice, back] = parts;
  // A slice turns as the side beside it that the regulations name; a rotation turns all.
  const face = { M: 'L', E: 'D', S: 'F', x: 'R', y: 'U', z: 'F' }[letter] ?? letter;
  const whole = 'xyz'.includes(letter);
  const slice = 'MES'.includes(letter);
  return {
    face,
    whole,
    from: whole ? -1.5 : slice || wide ? -0.5 : 0.5,
    to: slice ? 0.5 : 1.5,
    half: Boolean(twice),
    degrees: (twice ? 180 : 90) * (back ? -1 : 1),
  };
}

/** How far the eye is from the cube's centre: near enough to look real, far enough to keep the sides alike. */
const DISTANCE = 17;

/** An eye that looks at the cube's centre from `side` degrees to the right of the front and `rise` degrees above. */
export class Eye {
  constructor(side, rise) {
    const [t, r] = [side, rise].map((n) => (n * Math.PI) / 180);
    this.toward = [Math.sin(t) * Math.cos(r), Math.sin(r), Math.cos(t) * Math.cos(r)];
    this.right = [Math.cos(t), 0, -Math.sin(t)];
    this.up = cross(this.toward, this.right);
  }

  /** Where a point is on the page, y down, in stickers. */
  project(point) {
    const near = DISTANCE / (DISTANCE - dot(point, this.toward));
    return [dot(point, this.right) * near, -dot(point, this.up) * near];
  }

  /** Whether the outside of a plane through `point` is seen. */
  sees(out, point) {
    return dot(out, plus(times(this.toward, DISTANCE), minus(point))) > 0;
  }

  /** The distance along a line through the cube's centre at which the eye stands. */
  along(axis) {
    return dot(this.toward, axis) * DISTANCE;
  }
}
