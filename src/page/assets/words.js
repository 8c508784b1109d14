// Words and colours that several parts of the page use.

/** The six colours in the order in which they are listed: letter, and the display colours of plate and letter. */
export const COLOURS = {
  white: { letter: 'W', plate: '#f7f5ee', ink: '#262a33' },
  yellow: { letter: 'Y', plate: '#f4cf2f', ink: '#262a33' },
  red: { letter: 'R', plate: '#c22f38', ink: '#fbf9f4' },
  orange: { letter: 'O', plate: '#f08a2c', ink: '#262a33' },
  green: { letter: 'G', plate: '#1a7d41', ink: '#fbf9f4' },
  blue: { letter: 'B', plate: '#2a5db5', ink: '#fbf9f4' },
};

const TURNS = {
  R: ['right side', 'up', 'down'],
  L: ['left side', 'down', 'up'],
  U: ['top layer', 'to the left', 'to the right'],
  D: ['bottom layer', 'to the right', 'to the left'],
  F: ['front', 'clockwise', 'anticlockwise'],
  // As seen from the learner's place, through the cube.
  B: ['back, seen from the front,', 'anticlockwise', 'clockwise'],
  M: ['middle between left and right', 'down', 'up'],
  E: ['middle between top and bottom', 'to the right', 'to the left'],
  S: ['middle between front and back', 'clockwise', 'anticlockwise'],
  x: ['whole cube, its front', 'up', 'down'],
  y: ['whole cube, its front', 'to the left', 'to the right'],
  z: ['whole cube', 'clockwise', 'anticlockwise'],
};

/**
 * A turn in words, as seen in the front of the cube: "U'" is "top layer to the right".
 * What is not a turn comes back as it is.
 */
export function turnInWords(turn) {
  const parts = /^([RLUDFBMESxyz])(w?)(2?)('?)$/.exec(turn);
  if (!parts) return turn;
  const [, layer, wide, twice, back] = parts;
  const [place, forward, backward] = TURNS[layer];
  const how = twice ? 'half a turn' : back ? backward : forward;
  return `${place}${wide ? ' and the middle beside it' : ''} ${how}`;
}

/** "white", "white and red", "white, red and green". */
export function list(words) {
  if (words.length < 2) return words.join('');
  return `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`;
}

/** Windows, macOS, Linux, ChromeOS, Android, or '' when the browser does not say. */
export function system() {
  const told = `${navigator.userAgentData?.platform ?? ''} ${navigator.userAgent}`;
  if (/CrOS|Chrome ?OS/i.test(told)) return 'ChromeOS';
  if (/Android/i.test(told)) return 'Android';
  if (/Win/i.test(told)) return 'Windows';
  if (/Mac/i.test(told)) return 'macOS';
  return /Linux|X11/i.test(told) ? 'Linux' : '';
}
