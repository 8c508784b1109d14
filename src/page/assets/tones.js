// Short tones for what happens, for ears that wait while the eyes are on the cube. Made here, so that they need no voice and no
// file.

/** Frequencies in hertz, one after the other, and how long each sounds in seconds. Rising is good, falling is a slip. */
const TONES = {
  seen: [[660], 0.07],
  read: [[523, 784], 0.12],
  right: [[523, 659, 784], 0.12],
  slip: [[392, 294], 0.18],
  solved: [[523, 659, 784, 1047, 784, 1047], 0.14],
};
const LOUD = 0.14;

export class Tones {
  constructor() {
    this.on = true;
    this.context = null;
    this.last = 0;
  }

  /** To be called from a key or a click: browsers allow sound only after one. */
  start() {
    this.context ??= window.AudioContext ? new AudioContext() : null;
    this.context?.resume();
  }

  /** Sounds each serial number once, those of before the start never. */
  sound({ serial, kind }) {
    const news = serial > this.last;
    this.last = Math.max(this.last, serial);
    if (!news || !this.on || this.context?.state !== 'running' || !TONES[kind]) return;
    const [notes, length] = TONES[kind];
    notes.forEach((note, n) => this.note(note, this.context.currentTime + n * length, length));
  }

  note(frequency, at, length) {
    const [tone, volume] = [this.context.createOscillator(), this.context.createGain()];
    tone.type = 'triangle';
    tone.frequency.value = frequency;
    volume.gain.setValueAtTime(0, at);
    volume.gain.linearRampToValueAtTime(LOUD, at + 0.015);
    volume.gain.exponentialRampToValueAtTime(0.001, at + length * 1.6);
    tone.connect(volume).connect(this.context.destination);
    tone.start(at);
    tone.stop(at + length * 1.7);
  }
}
