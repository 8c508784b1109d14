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
