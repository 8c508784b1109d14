// Speech through the browser's own synthesis. Text is always on the page too, so every failure here is only told.

/** How long a voice may take to begin before the page says that it does not answer. */
const PATIENCE = 4000;
/** How long to wait for the list of voices before saying that there is none; it may still come later. */
const VOICES_LATE = 3000;
/** Some browsers lose words that are given in the same moment as a cancel. */
const AFTER_CANCEL = 50;

export class Speech {
  /**
   * @param note called with a sentence about the voice, or '' when all is well
   * @param elsewhere called with true to have words spoken by the machine that pairsight runs on, with false to end that
   */
  constructor(note, elsewhere) {
    this.note = (words) => {
      this.fails = Boolean(words);
      note(words);
    };
    this.elsewhere = elsewhere;
    this.away = false;
    this.fails = false;
    this.synthesis = window.speechSynthesis;
    this.rate = 1;
    this.on = false;
    this.voice = null;
    this.newest = { serial: 0, text: '' };
    this.spoken = 0;
    this.turn = 0;
    // An utterance that nothing holds may be collected before its events come.
    this.speaking = [];
    this.synthesis?.addEventListener?.('voiceschanged', () => this.chooseVoice());
    this.chooseVoice();
  }

  get possible() {
    return Boolean(this.synthesis) && typeof window.SpeechSynthesisUtterance === 'function';
  }

  /** To be called from a key or a click: browsers allow speech only after one. Says the newest words at once. */
  start() {
    this.on = true;
    if (!this.possible) {
      this.speakAway();
      return;
    }
    this.chooseVoice();
    if (!this.voice) setTimeout(() => this.missVoices(), VOICES_LATE);
    this.repeat();
  }

  stop() {
    this.on = false;
    this.turn += 1;
    this.synthesis?.cancel();
    this.comeBack();
    this.note('');
  }

  /** The browser has no voice, so the machine is asked to speak. */
  speakAway() {
    if (this.away) return;
    this.away = true;
    this.elsewhere(true);
  }

  comeBack() {
    if (this.away) this.elsewhere(false);
    this.away = false;
  }

  /** Whether the machine can speak; `idle` where it was not asked. */
  hearOf(speaker) {
    if (!this.away || !this.on) return;
    if (speaker === 'speaks') this.note('');
    if (speaker === 'missing') {
      this.note('Neither browser nor machine can speak here. Install a voice, such as the package espeak-ng, or read along.');
    }
  }

  /** Takes words in; what has been spoken or is older than the newest is not spoken. */
  say({ serial, text }) {
    if (serial <= this.newest.serial) return;
    this.newest = { serial, text };
    if (this.on) this.speak();
  }

  /** Says the newest words once more. */
  repeat() {
    if (!this.on || !this.newest.text) return;
    if (this.away) this.elsewhere(true);
    else this.speak();
  }

  /** Says words of the page itself, which are not among those that can be said again. */
  aside(text) {
    if (this.on) this.speak(text);
  }

  speak(text = this.newest.text) {
    if (this.away || !this.possible) return;
    const turn = ++this.turn;
    const busy = this.synthesis.speaking || this.synthesis.pending;
    this.synthesis.cancel();
    // Remote voices stop silently after about fifteen seconds, so each sentence is an utterance of its own.
    const sentences = text.match(/[^.!?]+[.!?]*/g) ?? [];
    const begin = () => {
      if (turn !== this.turn) return;
      this.speaking = sentences.map((words) => this.utterance(words.trim(), turn)).filter((u) => u.text);
      this.speaking.forEach((u) => this.synthesis.speak(u));
      this.watch(turn);
    };
    if (busy) setTimeout(begin, AFTER_CANCEL);
    else begin();
  }

  utterance(words, turn) {
    const utterance = new SpeechSynthesisUtterance(words);
    utterance.lang = this.voice?.lang ?? 'en';
    if (this.voice) utterance.voice = this.voice;
    utterance.rate = this.rate;
    utterance.onstart = () => {
      this.began = turn;
      this.note('');
    };
    utterance.onerror = (event) => {
      if (turn !== this.turn || ['canceled', 'interrupted'].includes(event.error)) return;
      this.began = turn;
      if (!this.voice && event.error !== 'not-allowed') {
        this.speakAway();
        return;
      }
      this.note(event.error === 'not-allowed'
        ? 'The browser wants a key or a click before it speaks. Press V twice.'
        : 'The voice failed. All that is said stands here in writing.');
    };
    return utterance;
  }

  watch(turn) {
    setTimeout(() => {
      if (this.on && !this.away && turn === this.turn && this.began !== turn) {
        this.note('The voice does not answer. All that is said stands here in writing.');
      }
    }, PATIENCE);
  }

  missVoices() {
    if (this.on && this.synthesis.getVoices().length === 0) this.speakAway();
  }

  /** An English voice of this machine; else any English one; else the browser's own choice. */
  chooseVoice() {
    const english = (this.synthesis?.getVoices() ?? []).filter((v) => /^en\b/i.test(v.lang));
    const local = english.filter((v) => v.localService);
    const best = local.length ? local : english;
    this.voice = best.find((v) => v.default) ?? best[0] ?? null;
    if (!this.voice) return;
    this.comeBack();
    this.note('');
  }
}
