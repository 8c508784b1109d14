// The cube that lives: the present turn in a slow loop, in the large view and in the small one from behind. With reduced motion
// nothing moves: the arrow lies on the cube as it is, and a small view shows it as it will be.

import { Cube } from './cube.js';

/** Milliseconds: the cube as it is with the arrow, the turn by a quarter and by half, the cube as it will be, and the change back. */
const BEFORE = 1100;
const QUARTER = 900;
const HALF = 1400;
const AFTER = 800;
const BACK = 260;
/** To walk round to the other side. */
const WALK = 500;
/** To end a turn that the learner has made. */
const SETTLE = 220;

/** At the least between two pictures of a turn. */
const SPARING = 30;

const SIDE = 36;

export class Living {
  /** Views of one cube: the large one, and where there are any the small ones from behind and after the turn. */
  constructor(large, behind = null, after = null) {
    this.large = new Cube(large);
    this.behind = behind && new Cube(behind, 180);
    this.after = after && new Cube(after);
    this.slower = 1;
    this.still = window.matchMedia('(prefers-reduced-motion: reduce)');
    this.still.addEventListener('change', () => this.restart());
    this.stickers = null;
    this.move = null;
    this.side = SIDE;
    this.at = null;
    this.painted = 0;
  }

  /** @param followed the learner made the turn that was shown, and `stickers` is what came of it */
  show(stickers, move, fromLeft, followed = false) {
    const same = JSON.stringify([this.stickers, this.move]) === JSON.stringify([stickers, move]);
    this.want(fromLeft ? -SIDE : SIDE);
    if (same) return;
    const settle = followed && this.stickers && !this.still.matches;
    [this.stickers, this.move] = [stickers, move];
    if (settle) this.settle();
    else this.restart();
  }

  /** Moves no more, until something is shown again. */
  rest() {
    this.stickers = null;
    this.move = null;
    this.ending = null;
    this.walk = null;
  }

  want(side) {
    if (side === this.side) return;
    const from = this.side;
    this.side = side;
    const look = (at) => [this.large, this.behind, this.after].forEach((cube) => cube?.lookFrom(at));
    if (this.still.matches || !this.stickers) {
      look(side);
      this.pose(0, 1);
      return;
    }
    const began = performance.now();
    this.walk = (now) => {
      const share = Math.min(1, (now - began) / WALK);
      look(from + (side - from) * ease(share));
      if (share === 1) this.walk = null;
    };
    this.run();
  }

  /** Lets the turn that was made run to its end, and goes on with the next. */
  settle() {
    const from = this.share ?? 0;
    const began = performance.now();
    this.ending = (now) => {
      const share = Math.min(1, (now - began) / SETTLE);
      this.pose(from + (1 - from) * ease(share), 0);
      if (share < 1) return;
      this.ending = null;
      this.restart();
    };
    this.run();
  }

  restart() {
    if (!this.stickers) return;
    this.ending = null;
    this.began = null;
    this.large.show(this.stickers, this.move);
    this.behind?.show(this.stickers, this.move);
    this.after?.show(this.stickers, this.move);
    this.after?.pose(1, 0);
    this.pose(0, 1);
    this.run();
  }

  pose(share, arrow) {
    this.share = share;
    this.large.pose(share, arrow);
    this.behind?.pose(share, arrow);
  }

  run() {
    this.at ??= requestAnimationFrame((now) => this.frame(now));
  }

  frame(now) {
    this.at = null;
    this.walk?.(now);
    if (this.ending) this.ending(now);
    else if (this.move && !this.still.matches && !this.walk) this.loop(now);
    if (this.walk || this.ending || (this.move && !this.still.matches)) this.run();
  }

  loop(now) {
    this.began ??= now;
    // The machine has a camera to look through as well.
    if (now - this.painted < SPARING) return;
    this.painted = now;
    const turning = this.large.turn?.half ? HALF : QUARTER;
    const t = ((now - this.began) / this.slower) % (BEFORE + turning + AFTER + BACK);
    const back = t - BEFORE - turning - AFTER;
    const clear = back < 0 ? '1' : Math.abs(1 - (2 * back) / BACK).toFixed(2);
    const { style } = this.large.svg.parentElement;
    if (style.opacity !== clear) style.opacity = clear;
    if (back > BACK / 2 || t < BEFORE) this.pose(0, 1);
    else this.pose(ease(Math.min(1, (t - BEFORE) / turning)), Math.max(0, 1 - (t - BEFORE) / 300));
  }
}

/** Slow at both ends. */
const ease = (t) => (t < 0.5 ? 4 * t ** 3 : 1 - (2 - 2 * t) ** 3 / 2);
