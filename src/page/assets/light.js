// Colours and light: how well the camera tells the colours apart, and the profiles that are kept of them.

import { byId as $, element, setText } from './element.js';
import { COLOURS } from './words.js';

function lightInWords({ like_profile: like, relit }) {
  if (!like) return 'the light has changed';
  return relit ? 'colours taken from the cube' : 'light as calibrated';
}

function percent(share) {
  const value = share * 100;
  return `${value < 10 ? value.toFixed(1) : value.toFixed(0)} %`;
}

export function showLight({ light, calibration, profiles }, before) {
  const like = !light || light.like_profile;
  setText('light', light ? `${light.profile}: ${lightInWords(light)}` : '');
  $('light').classList.toggle('changed', !like);
  $('light-changed').hidden = like || Boolean(calibration);

  const { closest, advice } = calibration ?? light ?? {};
  setText('closest', closest?.say ?? '');
  setText('light-advice', advice ?? '');
  $('calibrate').textContent = calibration ? 'Stop calibrating' : 'Calibrate';
  $('calibrate-words').hidden = Boolean(calibration);
  showSwatches(calibration?.swatches, closest);
  showDoubtful(calibration ?? light ?? {}, Boolean(light));
  $('keep').hidden = !calibration?.complete;
  if (calibration?.complete && !before?.complete) {
    $('profile-name').value = calibration.name;
    showName(profiles);
  }
}

function showSwatches(swatches, closest) {
  const all = swatches ? Object.entries(COLOURS) : [];
  $('swatches').replaceChildren(...all.map(([colour, { letter }]) => {
    const swatch = swatches.find((s) => s.colour === colour);
    const close = closest && [closest.a, closest.b].includes(colour);
    const item = element('li', `swatch ${swatch ? '' : 'unseen'} ${close ? 'close' : ''}`);
    const patch = element('span', 'patch', letter);
    if (swatch) {
      patch.style.backgroundColor = `rgb(${swatch.rgb.join(' ')})`;
      patch.style.color = inkOn(swatch.rgb);
    }
    item.append(patch, element('span', 'name', swatch ? colour : `${colour}?`));
    return item;
  }));
}

/** What stickers, each looked at alone, will be doubtful: by the colours known before, and by the new ones. */
function showDoubtful({ doubtful_before: before, doubtful_after: after }, profile) {
  const parts = [];
  if (before != null) parts.push(`${percent(before)} ${profile ? 'by the profile' : 'without a profile'}`);
  if (after != null) parts.push(`${percent(after)} by these colours`);
  setText('doubtful', parts.length ? `Doubtful stickers in this light: ${parts.join(', ')}.` : '');
}

export function showProfiles(profiles, light) {
  $('profiles').hidden = !profiles?.length;
  const options = (profiles ?? []).map((name) => new Option(name, name, false, name === light?.profile));
  if (!light) options.unshift(new Option('none', '', true, true));
  $('profile').replaceChildren(...options);
  showName(profiles);
}

/** Letters and digits of any script; all else becomes a dash, as the name is also a file's. */
export function profileName() {
  return $('profile-name').value.replace(/[^\p{L}\p{N}_]+/gu, '-').replace(/^-+|-+$/g, '');
}

/** What becomes of the name as it is typed. */
export function showName(profiles) {
  const name = profileName();
  const there = (profiles ?? []).includes(name);
  const typed = $('profile-name').value.trim();
  $('profile-name').setCustomValidity(name || !typed ? '' : 'Use letters or digits.');
  $('keep-button').textContent = there ? 'Replace' : 'Keep';
  const words = there ? `This takes the place of the profile “${name}”.` : name !== typed ? `Kept as “${name}”.` : '';
  setText('name-note', name ? words : '');
}

/** Black or white, whichever stands out more: relative luminance after WCAG 2.2. */
function inkOn(rgb) {
  const [r, g, b] = rgb.map((n) => {
    const v = n / 255;
    return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * r + 0.7152 * g + 0.0722 * b > 0.179 ? '#000000' : '#ffffff';
}
