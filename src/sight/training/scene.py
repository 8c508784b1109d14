"""Draws pictures of cubes as webcams see them, with where each face lies.

Everything is varied far beyond what one cube, one room or one camera shows: shades, plastic, size and wear of stickers, layers
out of line or turning, lenses, hands and what stands around. What a sensor and a codec do to the picture comes after: webcam.py.

A scene is a picture (HEIGHT x WIDTH x 3, BGR, 8 bit) and labels, one a face:
corners (4x2, clockwise in the picture, pixels from the middle of the first), kind (FACE, CUT, UNTOLD or NONE), covered (share of each sticker that a hand
hides, row by row from the first corner along the first side).
NONE are places that look like a face and are none: parts of larger grids, faces of other puzzles, broken faces. CUT are faces of
which a good part lies outside of the picture.
"""

import cv2
import numpy as np

import sheets
import things
from hands import Hands
from solid import CUT, FACE, HEIGHT, NONE, UNTOLD, WIDTH, Camera, Light, Solid, fill


def background(r, photographs):
    way = r.random()
    if way < 0.8 and photographs:
        photo = photographs[r.integers(0, len(photographs))]
        h, w = photo.shape[:2]
        part = r.uniform(0.35, 1.0)
        cw = int(min(w, h * WIDTH / HEIGHT) * part)
        ch = int(cw * HEIGHT / WIDTH)
        x, y = r.integers(0, w - cw + 1), r.integers(0, h - ch + 1)
        picture = cv2.resize(photo[y : y + ch, x : x + cw], (WIDTH, HEIGHT), interpolation=cv2.INTER_LINEAR)
        if r.random() < 0.5:
            picture = picture[:, ::-1]
        if r.random() < 0.35:
            picture = cv2.GaussianBlur(picture, (0, 0), r.uniform(0.6, 5))
        picture = picture.astype(np.float32) * (r.uniform(0.35, 1.15) * np.exp(r.normal(0, 0.05, 3))).astype(np.float32)
    else:
        a, b, c = r.uniform(0, 255, (3, 3)) * r.uniform(0.2, 1) if r.random() < 0.4 else np.repeat(r.uniform(20, 250, (3, 1)), 3, 1)
        x = np.linspace(0, 1, WIDTH)[None, :, None]
        y = np.linspace(0, 1, HEIGHT)[:, None, None]
        picture = a + (b - a) * x * r.uniform(0, 1) + (c - a) * y * r.uniform(0, 1)
        if r.random() < 0.4:
            grain = cv2.resize(r.normal(0, r.uniform(2, 14), (HEIGHT // 4, WIDTH // 4, 1)), (WIDTH, HEIGHT))[..., None]
            picture = picture + grain
    return np.ascontiguousarray(np.clip(picture, 0, 255).astype(np.uint8))


def shine(r, picture, faces, mask, photographs):
    """Highlights and reflections on the cube, and uneven light over it."""
    gain = np.ones((HEIGHT // 8, WIDTH // 8), np.float32)
    add = np.zeros((HEIGHT // 4, WIDTH // 4), np.float32)
    used = False
    for corners, *_ in faces:
        if r.random() < 0.3:
            used = True
            side = np.sqrt(abs(cv2.contourArea(corners.astype(np.float32)))) + 1
            at = corners.mean(0) + r.normal(0, 0.35, 2) * side
            y, x = np.mgrid[0 : HEIGHT // 4, 0 : WIDTH // 4] * 4.0
            angle, wide, long = r.uniform(0, np.pi), side * r.uniform(0.05, 0.3), side * r.uniform(0.1, 0.7)
            dx, dy = x - at[0], y - at[1]
            p = (dx * np.cos(angle) + dy * np.sin(angle)) / long
            q = (-dx * np.sin(angle) + dy * np.cos(angle)) / wide
            where = np.zeros((HEIGHT // 4, WIDTH // 4), np.uint8)
            cv2.fillPoly(where, [np.round(corners / 4).astype(np.int32)], 255)
            add += np.where(where > 0, np.exp(-(p * p + q * q)), 0) * r.uniform(30, 255)
    out = picture.astype(np.float32)
    if used:
        out += cv2.resize(add, (WIDTH, HEIGHT))[..., None] * (1 - 0.1 * r.random(3)).astype(np.float32)
    if photographs and r.random() < 0.3:
        photo = photographs[r.integers(0, len(photographs))]
        there = cv2.GaussianBlur(cv2.resize(photo, (64, 48)), (0, 0), r.uniform(0.5, 4))
        there = cv2.resize(there, (WIDTH, HEIGHT)).astype(np.float32)
        out += np.where(mask[..., None] > 0, there * r.uniform(0.05, 0.35), 0)
    if r.random() < 0.35:
        small = r.normal(0, 1, (3, 4)).astype(np.float32)
        out *= np.exp(r.uniform(0.05, 0.35) * cv2.resize(small, (WIDTH, HEIGHT), interpolation=cv2.INTER_CUBIC))[..., None]
    return out


def surroundings(r, camera, light, picture, flats):
    """Draws what is no cube; gives the corners of what looks like a face."""
    quads = []
    if r.random() < 0.1:
        quads += sheets.put(r, picture, flats, whole=True)
    for _ in range(r.choice(4, p=[0.52, 0.26, 0.14, 0.08])):
        quads += sheets.put(r, picture, flats)
    for _ in range(r.choice(4, p=[0.55, 0.23, 0.14, 0.08])):
        quads += things.board(r, camera, picture)
    if r.random() < 0.2:
        things.household(r, camera, picture)
    if r.random() < 0.2:
        quads += things.other_puzzle(r, camera, light, picture, np.zeros((HEIGHT, WIDTH), np.uint8))
    return quads


def scene(r, photographs, flats, cubes=None, change=lambda part: None):
    """One picture and its labels: [(corners, kind, covered)]. `change` may alter the camera, each cube and its hands."""
    camera, light = Camera(r), Light(r)
    change(camera)
    picture = background(r, photographs)
    labels = [(quad, NONE, np.zeros(9)) for quad in surroundings(r, camera, light, picture, flats)]
    mask = np.zeros((HEIGHT, WIDTH), np.uint8)
    if cubes is None:
        cubes = r.choice(3, p=[0.22, 0.72, 0.06])
    faces = []
    hidden = np.zeros((HEIGHT, WIDTH), np.uint8)
    for _ in range(cubes):
        cube = Solid(r, camera, light)
        change(cube)
        cube.place(r, camera)
        quads = cube.quads(camera)
        if not quads:
            continue
        outline = np.concatenate([q[0] for q in quads])
        hands = Hands(r, outline, light)
        hands.held = r.random() < 0.72
        change(hands)
        own = np.zeros((HEIGHT, WIDTH), np.uint8)
        if hands.held:
            hands.palms(picture)
        cube.draw(picture, own, camera)
        # What was there before lies behind this one now.
        hidden[own > 0] = 0
        for i, (corners, kind, middles, tilt) in enumerate(faces):
            inside = own[tuple(np.clip(middles.round().astype(int), 0, [WIDTH - 1, HEIGHT - 1]).T[::-1])]
            if (inside > 0).any():
                faces[i] = (corners, UNTOLD, middles, tilt)
        faces += quads
        mask = np.maximum(mask, own)
        if hands.held:
            hands.fingers(picture, hidden)
        elif r.random() < 0.1:  # something lies before it
            a = outline.mean(0) + r.normal(0, 60, 2)
            shape = a + r.normal(0, 40, (5, 2))
            shape = cv2.convexHull(shape.astype(np.float32))[:, 0]
            fill(picture, shape, r.integers(0, 256, 3).tolist())
            fill(hidden, shape, 255)
    picture = np.clip(shine(r, picture, faces, mask, photographs), 0, 255).astype(np.uint8)
    for corners, kind, middles, tilt in faces:
        area = abs(cv2.contourArea(corners.astype(np.float32)))
        side, narrow = np.sqrt(area), area / (np.linalg.norm(corners - np.roll(corners, -1, 0), axis=1).max() + 1)
        spread = (corners[1] + corners[2] - corners[0] - corners[3], corners[2] + corners[3] - corners[0] - corners[1])
        covered, outside = np.zeros(9), np.zeros(9)
        for k, middle in enumerate(middles):
            grid = np.array([(a, b) for a in (-0.1, -0.05, 0, 0.05, 0.1) for b in (-0.1, -0.05, 0, 0.05, 0.1)])
            at = middle + grid[:, :1] * spread[0] / 2 + grid[:, 1:] * spread[1] / 2
            at = at.round().astype(int)
            inside = (at[:, 0] >= 0) & (at[:, 1] >= 0) & (at[:, 0] < WIDTH) & (at[:, 1] < HEIGHT)
            under = hidden[np.clip(at[:, 1], 0, HEIGHT - 1), np.clip(at[:, 0], 0, WIDTH - 1)] > 0
            covered[k], outside[k] = (under | ~inside).mean(), (~inside).mean()
        over = np.maximum(-corners, corners - [WIDTH, HEIGHT]).max() / (side + 1)
        if kind == FACE:
            lost, gone = (covered > 0.5).sum(), (outside > 0.5).sum()
            if side < 26 or narrow < 14 or lost - gone > 3:
                kind = UNTOLD
            elif over > 0.12 or lost > 3:
                kind = CUT if gone <= 5 and lost <= 6 else UNTOLD
        labels.append((corners, kind, covered))
    return picture, labels
