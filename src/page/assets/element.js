// Elements of the page.

export const byId = (id) => document.getElementById(id);

export function element(name, className, words = '') {
  const made = document.createElement(name);
  made.className = className;
  made.textContent = words;
  return made;
}

/** Live regions speak on every write, so equal words are not written again. */
export function setText(id, words) {
  const there = byId(id);
  if (there.textContent !== words) there.textContent = words;
}
