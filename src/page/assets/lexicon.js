// The words that the coach uses, one after the other, each with a cube that shows it.

import { byId as $, setText } from './element.js';
import { Living } from './living.js';

/** Milliseconds for each word while nobody turns the pages. */
const EACH = 6500;

export class Lexicon {
  /** @param said called with the words of each page that comes up */
  constructor(said) {
    this.said = said;
    this.terms = [];
    this.at = 0;
    this.timer = null;
    this.living = new Living($('word-cube'));
    $('word-back').addEventListener('click', () => this.leaf(-1));
    $('word-next').addEventListener('click', () => this.leaf(1));
  }

  show(terms) {
    this.terms = terms;
    this.at = 0;
  }

  get isOpen() {
    return !$('words-panel').hidden;
  }

  /** From the first word; by itself, until somebody turns a page. */
  open() {
    this.at = 0;
    this.page();
    this.timer = setInterval(() => {
      if (this.at + 1 < this.terms.length) this.turnTo(this.at + 1);
      else this.stay();
    }, EACH);
  }

  close() {
    this.stay();
    this.living.rest();
  }

  /** No page turns by itself any more. */
  stay() {
    clearInterval(this.timer);
    this.timer = null;
  }

  leaf(by) {
    this.stay();
    this.turnTo(this.at + by);
  }

  turnTo(at) {
    this.at = Math.max(0, Math.min(this.terms.length - 1, at));
    this.page();
  }

  page() {
    const term = this.terms[this.at];
    if (!term) return;
    const { name, say, stickers, turn, from_left: fromLeft } = term;
    setText('word-name', name);
    setText('word-sign', turn ? turn.replace("'", '’') : '');
    $('word-sign').hidden = !turn;
    setText('word-say', say);
    setText('word-count', `${this.at + 1} of ${this.terms.length}`);
    $('word-cube').setAttribute('aria-label', `A cube that shows: ${name}`);
    $('word-back').disabled = this.at === 0;
    $('word-next').disabled = this.at === this.terms.length - 1;
    this.living.show(stickers, turn, fromLeft);
    this.said(`${name}. ${say}`);
  }
}
