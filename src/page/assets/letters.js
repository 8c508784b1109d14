// The letters on stickers, as strokes in a box from -0.5 to 0.5, x right, y down: drawn, not set, so that they lie on a slanted
// face as printed ones would.

const STROKES = {
  W: 'M -.46 -.5 L -.25 .5 L 0 -.2 L .25 .5 L .46 -.5',
  Y: 'M -.36 -.5 L 0 0 L .36 -.5 M 0 0 L 0 .5',
  R: 'M -.3 .5 L -.3 -.5 L .04 -.5 C .4 -.5 .4 .04 .04 .04 L -.3 .04 M .02 .04 L .34 .5',
  O: 'M 0 -.5 C .26 -.5 .4 -.28 .4 0 C .4 .28 .26 .5 0 .5 C -.26 .5 -.4 .28 -.4 0 C -.4 -.28 -.26 -.5 0 -.5',
  G: 'M .34 -.3 C .26 -.44 .14 -.5 .02 -.5 C -.24 -.5 -.38 -.28 -.38 0 C -.38 .28 -.24 .5 .02 .5 C .2 .5 .36 .38 .36 .08 L .06 .08',
  B: 'M -.3 -.5 L -.3 .5 L .06 .5 C .42 .5 .42 -.04 .06 -.04 L -.3 -.04 M .04 -.04 C .36 -.04 .36 -.5 .04 -.5 L -.3 -.5',
};

/** A letter as path commands: words as they are, points as [x, y]. */
export function strokesOf(letter) {
  const words = (STROKES[letter] ?? '').match(/\S+/g) ?? [];
  const commands = [];
  for (let i = 0; i < words.length; i += 1) {
    if (/[A-Z]/.test(words[i])) commands.push(words[i]);
    else commands.push([Number(words[i]), Number(words[++i])]);
  }
  return commands;
}
