// The time of the solve, for whoever wants to see it.

import { byId as $, setText } from './element.js';

export class Clock {
  constructor() {
    this.clock = null;
    this.timer = null;
  }

  /** @param clock `{ began, ended }` in milliseconds by this machine's clock, or null; @param wanted whether it is shown */
  show(clock, wanted) {
    this.clock = clock;
    $('clock').hidden = !clock || !wanted;
    clearInterval(this.timer);
    this.write();
    if (clock && wanted && clock.ended == null) this.timer = setInterval(() => this.write(), 250);
  }

  write() {
    if (!this.clock) return;
    const seconds = Math.max(0, Math.floor(((this.clock.ended ?? Date.now()) - this.clock.began) / 1000));
    setText('clock', `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, '0')}`);
  }
}
