// What can be said of the pair that is drawn, as buttons; the right one is marked once one is chosen.

import { element } from './element.js';

/** @param said takes the place of the answer that is chosen, or null for the next question */
export function showAnswers(place, seeing, said) {
  place.hidden = !seeing;
  if (!seeing) return;
  const { answers, chosen, right } = seeing;
  const buttons = answers.map((name, n) => {
    const button = element('button', n === right ? 'right' : '', `${n + 1}: ${name}`);
    button.type = 'button';
    button.disabled = chosen != null && n !== right;
    button.addEventListener('click', () => said(chosen == null ? n : null));
    return button;
  });
  if (chosen != null) {
    const next = element('button', '', 'Next');
    next.type = 'button';
    next.addEventListener('click', () => said(null));
    buttons.push(next);
  }
  place.replaceChildren(...buttons);
}
