// Words that keep to their place: set as large as the place allows, never cut.

const LEAST = 0.3;
const STEP = 0.94;
const watched = new Set();
let due = false;

/** Keeps the letters of an element as large as its box has room for; the box does not change with them. */
export function keepFitting(element) {
  watched.add(element);
  new ResizeObserver(() => refit()).observe(element);
  new MutationObserver(() => refit()).observe(element, { childList: true, characterData: true, subtree: true });
}

function refit() {
  if (due) return;
  due = true;
  // Before the next picture, so that words are never seen in a wrong size.
  queueMicrotask(() => {
    due = false;
    watched.forEach(fit);
  });
}

function fit(element) {
  let size = 1;
  element.style.setProperty('--fit', size);
  const tooLarge = () => element.scrollHeight > element.clientHeight + 1 || element.scrollWidth > element.clientWidth + 1;
  while (size > LEAST && tooLarge()) {
    size *= STEP;
    element.style.setProperty('--fit', size.toFixed(3));
  }
}
