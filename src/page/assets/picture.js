// The live picture, mirrored as a mirror would show it, with what was found drawn on it the right way round.

import { drawGuide, drawTurn } from './overlay.js';
import { COLOURS, list } from './words.js';

export class Picture {
  constructor(canvas, empty) {
    this.canvas = canvas;
    this.empty = empty;
    this.bitmap = null;
    this.found = null;
    this.mirroredFeed = false;
    this.looking = true;
    this.known = null;
    this.turn = null;
    this.due = false;
    new ResizeObserver(() => this.paintSoon()).observe(canvas.parentElement);
  }

  /** Shows a JPEG picture; resolves when it is on the screen. A broken one is left out. */
  async show(jpeg) {
    let bitmap;
    try {
      bitmap = await createImageBitmap(new Blob([jpeg], { type: 'image/jpeg' }));
    } catch {
      return;
    }
    this.bitmap?.close();
    this.bitmap = bitmap;
    this.empty.hidden = true;
    await this.paintSoon();
  }

  setFound(found) {
    this.found = found;
    this.label();
    this.paintSoon();
  }

  setMirroredFeed(mirrored) {
    this.mirroredFeed = mirrored;
    this.paintSoon();
  }

  /** Whether a cube is still looked for. */
  setLooking(looking) {
    this.looking = looking;
    this.paintSoon();
  }

  /** The cube as it is known, and the turn to make now. */
  setTurn(known, turn) {
    [this.known, this.turn] = [known, turn];
    this.paintSoon();
  }

  label() {
    const centres = (this.found?.faces ?? []).map((f) => f.stickers?.[1][1].colour ?? 'unclear');
    const words = centres.length ? `found ${centres.length} of its faces: ${list(centres)}` : 'no cube found';
    if (words === this.said) return;
    this.said = words;
    this.canvas.setAttribute('aria-label', `Live picture, mirrored: ${words}`);
  }

  /** Paints with the next frame of the screen, which a hidden tab never has. */
  paintSoon() {
    this.due ||= new Promise((done) => requestAnimationFrame(() => {
      this.due = false;
      this.paint();
      done();
    }));
    return this.due;
  }

  paint() {
    if (!this.bitmap) return;
    const glass = this.canvas.parentElement;
    const { width, height } = this.bitmap;
    const scale = Math.min(glass.clientWidth / width, glass.clientHeight / height);
    const sharp = Math.min(window.devicePixelRatio || 1, 2);
    const [w, h] = [width, height].map((n) => Math.max(1, Math.round(n * scale * sharp)));
    if (this.canvas.width !== w || this.canvas.height !== h) {
      this.canvas.width = w;
      this.canvas.height = h;
    }
    const ink = this.canvas.getContext('2d');
    const mirror = !this.mirroredFeed;
    ink.setTransform(mirror ? -1 : 1, 0, 0, 1, mirror ? w : 0, 0);
    ink.drawImage(this.bitmap, 0, 0, w, h);
    ink.setTransform(1, 0, 0, 1, 0, 0);
    if (this.looking && !this.found?.faces.length) drawGuide(ink, w, h);
    if (!this.found) return;
    const [from, to] = [this.found.size[0], w];
    const place = ([x, y]) => [mirror ? to - (x * to) / from : (x * to) / from, (y * h) / this.found.size[1]];
    const faces = this.found.faces.map(({ outline, stickers }) => {
      const placed = outline.map(place);
      return { outline: placed, stickers, at: squareToQuad(placed), size: Math.sqrt(area(placed)) / 3 };
    });
    for (const face of faces) drawFace(ink, face);
    drawTurn(ink, faces, this.known, this.turn);
  }
}

function drawFace(ink, { outline, stickers, at, size }) {
  ink.lineJoin = 'round';
  for (const [style, width] of [['#000000b0', size * 0.16], ['#ffffff', size * 0.07]]) {
    ink.beginPath();
    outline.forEach(([x, y]) => ink.lineTo(x, y));
    ink.closePath();
    ink.lineWidth = Math.max(2, width);
    ink.strokeStyle = style;
    ink.stroke();
  }
  stickers?.forEach((row, r) => row.forEach((sticker, c) => {
    drawSticker(ink, at((c + 0.5) / 3, (r + 0.5) / 3), size * 0.31, sticker);
  }));
}

/** A plate with the colour's letter; a doubtful one has a broken rim and a question mark. */
function drawSticker(ink, [x, y], radius, { colour, doubtful }) {
  const known = COLOURS[colour];
  const doubt = doubtful || !known;
  ink.beginPath();
  ink.arc(x, y, radius, 0, 2 * Math.PI);
  ink.fillStyle = known?.plate ?? '#444444';
  ink.fill();
  ink.lineWidth = Math.max(1.5, radius * 0.16);
  ink.strokeStyle = '#000000';
  ink.setLineDash(doubt ? [radius * 0.45, radius * 0.35] : []);
  ink.stroke();
  ink.setLineDash([]);
  ink.fillStyle = known?.ink ?? '#ffffff';
  ink.font = `700 ${radius * (doubt && known ? 1.05 : 1.35)}px system-ui, sans-serif`;
  ink.textAlign = 'center';
  ink.textBaseline = 'middle';
  ink.fillText(known ? known.letter + (doubt ? '?' : '') : '?', x, y + radius * 0.08);
}

/**
 * The projective map from the unit square to a quad given clockwise from the image of (0, 0).
 * Heckbert, "Fundamentals of Texture Mapping and Image Warping", 1989, section 2.2.3.
 */
function squareToQuad([[x0, y0], [x1, y1], [x2, y2], [x3, y3]]) {
  const [sx, sy] = [x0 - x1 + x2 - x3, y0 - y1 + y2 - y3];
  const [dx1, dx2, dy1, dy2] = [x1 - x2, x3 - x2, y1 - y2, y3 - y2];
  const det = dx1 * dy2 - dx2 * dy1 || 1;
  const g = (sx * dy2 - dx2 * sy) / det;
  const h = (dx1 * sy - sx * dy1) / det;
  return (u, v) => {
    const w = g * u + h * v + 1 || 1;
    return [
      ((x1 - x0 + g * x1) * u + (x3 - x0 + h * x3) * v + x0) / w,
      ((y1 - y0 + g * y1) * u + (y3 - y0 + h * y3) * v + y0) / w,
    ];
  };
}

/** Area of a polygon by the shoelace formula. */
function area(points) {
  const twice = points.reduce((sum, [x, y], i) => {
    const [nx, ny] = points[(i + 1) % points.length];
    return sum + x * ny - nx * y;
  }, 0);
  return Math.abs(twice) / 2;
}
