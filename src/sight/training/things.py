"""What stands around that is no cube: other puzzles, boards, cloth, books. Flat things with finer parts: sheets.py."""

import cv2
import numpy as np

from solid import HEIGHT, SHADES, WIDTH, Looks, Solid, encoded, fill, linear, rounded, turn


def other_puzzle(r, camera, light, picture, mask):
    """A cube of another size, or one whose cells are uneven."""
    size = int(r.choice([2, 4, 5, 6, 7]))
    lines = None
    if r.random() < 0.18:
        size = 3
        inner = np.sort(r.uniform(-1.0, 1.0, 2))
        if np.ptp(np.diff([-1.5, *inner, 1.5])) < 0.5:
            return []
        lines = np.array([-1.5, *inner, 1.5])
    solid = Solid(r, camera, light, size, cell=np.exp(r.uniform(np.log(9), np.log(45))), lines=lines)
    if size > 2:
        solid.angles[:] = 0
    if lines is not None and r.random() < 0.7:
        solid.colours[:] = 0
    solid.draw(picture, mask, camera)
    return solid.parts(camera)


def board(r, camera, picture):
    """A flat grid that is no face: cards, keys, tiles, panes; never three by three."""
    rows, columns = r.integers(1, 9, 2)
    while (rows, columns) == (3, 3) or rows * columns < 3:
        rows, columns = r.integers(1, 9, 2)
    if r.random() < 0.35:
        rows, columns = [(2, 3), (3, 2), (3, 4), (4, 3), (3, 5), (5, 3), (4, 4), (2, 2)][r.integers(0, 8)]
    cell = np.exp(r.uniform(np.log(8), np.log(60)))
    distance = 30.0
    scale = cell * distance / camera.focal
    at = np.array([r.uniform(0, WIDTH), r.uniform(0, HEIGHT)])
    middle = np.append((at - camera.centre) / camera.focal, 1.0) * distance
    m = turn([*r.normal(size=2), 0], abs(r.normal(0, 0.5))) @ turn([0, 0, 1], r.uniform(0, 2 * np.pi) if r.random() < 0.5 else r.normal(0, 0.2))
    aspect = np.exp(r.normal(0, 0.25)) if r.random() < 0.6 else 1.0
    stagger = r.uniform(0, 0.5) if r.random() < 0.25 else 0.0
    seen = lambda p: camera.project((np.pad(p * [1, aspect], ((0, 0), (0, 1))) * scale) @ m.T + middle)
    extent = np.array([(-1, -1), (1, -1), (1, 1), (-1, 1)]) * [columns / 2 + 0.1, rows / 2 + 0.1] * r.uniform(1, 1.25)
    if r.random() < 0.75:
        fill(picture, seen(extent), encoded(linear(r.integers(0, 256, 3)) * r.uniform(0.05, 1))[::-1].tolist())
    looks = Looks(r)
    one = r.random() < 0.35
    chess = r.random() < 0.12
    tone = linear(r.integers(0, 256, 3))
    half, corner = r.uniform(0.3, 0.5), r.uniform(0, 0.45)
    marked = r.random() < 0.35
    for row in range(rows):
        for column in range(columns):
            colour = looks.colours[r.integers(0, 6)]
            if one:
                colour = tone
            if chess:
                colour = np.full(3, 0.8 if (row + column) % 2 else 0.02)
            middle_of = np.array([column - (columns - 1) / 2 + stagger * row, row - (rows - 1) / 2])
            fill(picture, seen(rounded(half, corner) + middle_of), encoded(colour)[::-1].tolist())
            if marked:
                a = middle_of + r.uniform(-0.25, 0.25, (3, 2))
                fill(picture, seen(a), encoded(np.abs(colour - 0.6))[::-1].tolist())
    low = np.array([r.integers(0, max(columns - 2, 1)), r.integers(0, max(rows - 2, 1))]) - [columns / 2, rows / 2]
    square = np.array([(0, 0), (3, 0), (3, 3), (0, 3)]) + low
    return [seen(square)]


def household(r, camera, picture):
    """Shapes of other kinds: stripes of cloth, round keys, triangles, books."""
    what = r.integers(0, 4)
    at = np.array([r.uniform(0, WIDTH), r.uniform(0, HEIGHT)])
    size = r.uniform(40, 200)
    a = r.uniform(0, 2 * np.pi)
    m = np.array([[np.cos(a), np.sin(a)], [-np.sin(a), np.cos(a)]]) * size
    if what == 0:  # checked cloth
        patch = np.zeros_like(picture)
        for k in np.linspace(-1, 1, r.integers(4, 12)):
            w = r.uniform(0.02, 0.1)
            colour = r.integers(0, 256, 3).tolist()
            fill(patch, np.array([(k, -1), (k + w, -1), (k + w, 1), (k, 1)]) @ m + at, colour)
            fill(patch, np.array([(-1, k), (-1, k + w), (1, k + w), (1, k)]) @ m + at, colour)
        share = r.uniform(0.3, 0.7)
        where = patch.any(2, keepdims=True)
        picture[:] = np.where(where, (1 - share) * picture + share * patch, picture).astype(np.uint8)
    elif what == 1:  # round keys
        n = r.integers(2, 5, 2)
        for x in range(n[0]):
            for y in range(n[1]):
                c = (np.array([x, y]) * 0.5 - n / 4) @ m + at
                cv2.circle(picture, (int(c[0]), int(c[1])), int(size * r.uniform(0.15, 0.2)), r.integers(0, 256, 3).tolist(), -1, cv2.LINE_AA)
    elif what == 2:  # triangles
        n = r.integers(2, 6)
        for x in range(n):
            for y in range(n):
                o = np.array([x + 0.5 * y, 0.87 * y]) / n - 0.5
                for t in ([(0, 0), (1, 0), (0.5, 0.87)], [(1, 0), (1.5, 0.87), (0.5, 0.87)]):
                    t = np.array(t)
                    t = t.mean(0) + (t - t.mean(0)) * 0.85
                    fill(picture, (o + t / n) @ m + at, encoded(linear(SHADES[0][r.integers(0, 6)]))[::-1].tolist())
    else:  # books
        x = -1.0
        while x < 1:
            w = r.uniform(0.06, 0.25)
            fill(picture, np.array([(x, -r.uniform(0.6, 1)), (x + w, -0.7), (x + w, 0.7), (x, 0.7)]) @ m + at, r.integers(0, 256, 3).tolist())
            x += w + 0.01
