"""Flat things with parts in rows that are no cube: papers, windows on a screen, icons, calendars, charts, codes, keys, shelves."""

import cv2
import numpy as np

from solid import HEIGHT, SHADES, WIDTH, turn

# Side of a sheet, pixels; a taller or wider one is a part of it.
SIDE = 320


def tone(r):
    """A colour: a shade of the cube's trade, any, or a grey."""
    way = r.random()
    if way < 0.4:
        return [int(c) for c in SHADES[r.integers(0, len(SHADES))][r.integers(0, 6)]]
    return r.integers(0, 256, 3).tolist() if way < 0.7 else [int(r.integers(0, 256))] * 3


def box(sheet, x, y, w, h, colour, radius=0.0, line=-1):
    """A rectangle with rounded corners."""
    x, y, w, h = (int(round(v)) for v in (x, y, w, h))
    radius = int(min(radius, w / 2, h / 2))
    if radius < 1 or line > 0:
        cv2.rectangle(sheet, (x, y), (x + w, y + h), colour, line, cv2.LINE_AA)
        return
    cv2.rectangle(sheet, (x + radius, y), (x + w - radius, y + h), colour, -1)
    cv2.rectangle(sheet, (x, y + radius), (x + w, y + h - radius), colour, -1)
    for cx in (x + radius, x + w - radius):
        for cy in (y + radius, y + h - radius):
            cv2.circle(sheet, (cx, cy), radius, colour, -1, cv2.LINE_AA)


def text(r, sheet, x, y, height, colour, letters=None):
    signs = letters or "".join(r.choice(list("abcdefghijklmnoprstuvwxyzABDEHKMRST 0123456789"), r.integers(2, 14)))
    font = int(r.choice([cv2.FONT_HERSHEY_SIMPLEX, cv2.FONT_HERSHEY_DUPLEX, cv2.FONT_HERSHEY_COMPLEX, cv2.FONT_HERSHEY_PLAIN]))
    scale = height / 22 * (1.8 if font == cv2.FONT_HERSHEY_PLAIN else 1.0)
    cv2.putText(sheet, signs, (int(x), int(y)), font, scale, colour, max(1, int(height / 12)), cv2.LINE_AA)


def glyph(r, sheet, x, y, size, colour):
    """What is drawn on an icon or a key."""
    way = r.integers(0, 6)
    at = (int(x), int(y))
    if way == 0:
        cv2.circle(sheet, at, int(size * r.uniform(0.2, 0.45)), colour, int(r.choice([-1, 1, 2, 3])), cv2.LINE_AA)
    elif way == 1:
        points = at + size * 0.45 * r.uniform(-1, 1, (r.integers(3, 7), 2))
        cv2.fillPoly(sheet, [points.astype(np.int32)], colour, cv2.LINE_AA)
    elif way == 2:
        text(r, sheet, x - size * 0.25, y + size * 0.25, size * 0.7, colour, str(r.choice(list("ABXRS0123456789?+&@"))))
    elif way == 3:
        for k in range(r.integers(2, 5)):
            box(sheet, x - size * 0.3, y - size * 0.35 + k * size * 0.2, size * r.uniform(0.2, 0.6), size * 0.08, colour)
    elif way == 4:
        cv2.ellipse(sheet, at, (int(size * 0.35), int(size * 0.35)), 0, 0, int(r.integers(60, 330)), colour, max(1, int(size * 0.12)), cv2.LINE_AA)
    else:
        for k in range(r.integers(1, 4)):
            start = (int(x + size * r.uniform(-0.4, 0.4)), int(y + size * r.uniform(-0.4, 0.4)))
            cv2.line(sheet, at, start, tone(r), max(1, int(size * 0.1)), cv2.LINE_AA)


def paper(r, sheet):
    """Headings, lines of text, a table, pictures as boxes."""
    ink = [int(r.integers(0, 110))] * 3
    height = r.uniform(5, 14)
    y = height * 2
    while y < SIDE:
        way = r.random()
        if way < 0.1:
            text(r, sheet, 10, y, height * 2, tone(r))
            y += 3 * height
        elif way < 0.2:
            columns, rows = r.integers(2, 7), r.integers(2, 6)
            for row in range(rows):
                for column in range(columns):
                    x = 10 + column * (SIDE - 20) / columns
                    box(sheet, x, y + row * height * 1.6, (SIDE - 20) / columns, height * 1.6, ink, line=1)
                    text(r, sheet, x + 2, y + row * height * 1.6 + height, height * 0.7, ink)
            y += rows * height * 1.6 + height
        elif way < 0.27:
            box(sheet, r.uniform(5, SIDE / 2), y, r.uniform(40, 150), r.uniform(30, 100), tone(r))
            y += height * r.uniform(1, 6)
        else:
            x = 10
            while x < SIDE - 20:
                w = r.uniform(1, 6) * height
                if height > 9:
                    text(r, sheet, x, y, height, ink)
                    w = 8 * height
                else:
                    box(sheet, x, y - height * 0.5, w, height * 0.5, ink)
                x += w + height * 0.6
            y += height * 1.5


def cells(r, sheet, rows, columns, filler, gap=0.0, radius=0.0, line=0):
    """A table of `rows` by `columns`, each cell as `filler(x, y, w, h)` fills it; gives the corners of threes of it."""
    edge = r.uniform(4, 50, 2)
    w, h = (SIDE - 2 * edge) / [columns, rows]
    if r.random() < 0.6:
        w = h = min(w, h)
    for row in range(rows):
        for column in range(columns):
            x, y = edge[0] + column * w, edge[1] + row * h
            if line:
                box(sheet, x, y, w, h, [40] * 3, line=line)
            filler(x + gap * w, y + gap * h, w * (1 - 2 * gap), h * (1 - 2 * gap), row, column)
    at = np.array([r.integers(0, columns - 2), r.integers(0, rows - 2)]) if min(rows, columns) > 3 else None
    if at is None:
        return []
    low, high = edge + at * [w, h], edge + (at + 3) * [w, h]
    return [np.array([low, (high[0], low[1]), high, (low[0], high[1])])]


def calendar(r, sheet):
    ink = tone(r)

    def filler(x, y, w, h, row, column):
        if r.random() < 0.12:
            box(sheet, x, y, w, h, tone(r))
        number = row * 7 + column + 1
        if number < 32:
            text(r, sheet, x + w * 0.1, y + h * 0.5, min(w, h) * 0.4, ink, str(number))
        if r.random() < 0.15:
            box(sheet, x + w * 0.1, y + h * 0.6, w * 0.7, h * 0.2, tone(r))

    return cells(r, sheet, int(r.integers(4, 7)), 7, filler, line=int(r.integers(0, 3)))


def icons(r, sheet):
    """Tiles with signs upon them, in rows or strewn about."""
    n = int(r.integers(3, 9))
    size = SIDE / (n + r.uniform(0.2, 1.5))
    loose = r.uniform(0, 0.4) if r.random() < 0.5 else 0.0
    share, radius, one = r.uniform(0.5, 0.85), r.uniform(0, 0.5), tone(r) if r.random() < 0.3 else None
    named, colour = r.random() < 0.4, tone(r)
    for row in range(n):
        for column in range(n):
            if r.random() < 0.12:
                continue
            x, y = (np.array([column, row]) + 0.3 + r.normal(0, 1, 2) * loose) * size
            half = size * share / 2
            if r.random() < 0.85:
                box(sheet, x, y, 2 * half, 2 * half, one or tone(r), radius * half)
            glyph(r, sheet, x + half, y + half, 2 * half * r.uniform(0.5, 0.9), tone(r))
            if named:
                text(r, sheet, x, y + 2.3 * half, half * 0.4, colour)
    return []


def chart(r, sheet):
    way = r.integers(0, 4)
    ink = [int(r.integers(0, 120))] * 3
    for k in range(r.integers(0, 9)):
        cv2.line(sheet, (20, 20 + 35 * k), (SIDE - 10, 20 + 35 * k), [190] * 3, 1)
    if way == 0:  # bars, perhaps of parts
        n = r.integers(3, 12)
        for k in range(n):
            y = SIDE - 20.0
            for _ in range(r.integers(1, 5)):
                h = r.uniform(10, 90)
                box(sheet, 25 + k * (SIDE - 40) / n, y - h, (SIDE - 40) / n * 0.7, h, tone(r))
                y -= h
    elif way == 1:  # a map of values
        n = r.integers(5, 14, 2)
        value = cv2.resize(cv2.applyColorMap(r.integers(0, 256, (n[1], n[0]), dtype=np.uint8), int(r.integers(0, 20))), (SIDE - 60, SIDE - 60), interpolation=cv2.INTER_NEAREST)
        sheet[30 : SIDE - 30, 40 : SIDE - 20] = value
    elif way == 2:
        for _ in range(r.integers(1, 5)):
            y = np.cumsum(r.normal(0, 12, 30)) + SIDE / 2
            cv2.polylines(sheet, [np.stack([np.linspace(20, SIDE - 10, 30), y], 1).astype(np.int32)], False, tone(r), 2, cv2.LINE_AA)
    else:
        colours = [tone(r) for _ in range(4)]
        for x, y in r.uniform(25, SIDE - 15, (r.integers(10, 80), 2)):
            cv2.circle(sheet, (int(x), int(y)), int(r.integers(2, 9)), colours[r.integers(0, 4)], -1, cv2.LINE_AA)
    cv2.line(sheet, (20, 15), (20, SIDE - 20), ink, 2)
    cv2.line(sheet, (20, SIDE - 20), (SIDE - 10, SIDE - 20), ink, 2)
    text(r, sheet, 60, 16, 10, ink)
    return []


def code(r, sheet):
    """A square code of modules (ISO/IEC 18004) or a bar code."""
    if r.random() < 0.75:
        letters = "".join(r.choice(list("ABCDEFGHIJKLMN0123456789"), r.integers(3, 90)))
        modules = cv2.QRCodeEncoder_create().encode(letters)
        sheet[20 : SIDE - 20, 20 : SIDE - 20] = cv2.resize(modules, (SIDE - 40, SIDE - 40), interpolation=cv2.INTER_NEAREST)[..., None]
    else:
        x = 20.0
        while x < SIDE - 20:
            w = r.uniform(2, 12)
            box(sheet, x, 60, w, 180, [10] * 3)
            x += w + r.uniform(2, 12)
    return []


def keys(r, sheet):
    """A keyboard, a keypad, squared puzzles of numbers: a sign on each."""
    base, ink, lit = tone(r), tone(r), r.random() < 0.3
    rows, columns = [(4, 3), (5, 4), (4, 4), (5, 8), (5, 12), (9, 9), (6, 6), (8, 8)][r.integers(0, 8)]
    radius, depth, blank = r.uniform(0, 8), r.uniform(0, 0.12), r.uniform(0, 0.5) if rows > 5 else 0.05

    def filler(x, y, w, h, row, column):
        colour = tone(r) if lit and r.random() < 0.3 else base
        box(sheet, x, y, w, h, [int(c * 0.5) for c in colour], radius)
        box(sheet, x, y, w * (1 - depth / 2), h * (1 - depth), colour, radius)
        if r.random() > blank:
            text(r, sheet, x + w * 0.25, y + h * 0.7, min(w, h) * r.uniform(0.4, 0.6), ink, str(r.choice(list("0123456789ABCDEFGHRQWXZ"))))

    return cells(r, sheet, rows, columns, filler, gap=r.uniform(0, 0.1))


def window(r, sheet):
    """Windows with bars, buttons, lists and small pictures."""
    for _ in range(r.integers(1, 4)):
        x, y = r.uniform(0, SIDE * 0.5, 2)
        w, h = r.uniform(SIDE * 0.4, SIDE, 2)
        pale = r.random() < 0.6
        box(sheet, x, y, w, h, [int(r.integers(215, 256) if pale else r.integers(15, 70))] * 3, 6)
        bar = r.uniform(10, 24)
        box(sheet, x, y, w, bar, tone(r))
        for k in range(3):
            cv2.circle(sheet, (int(x + w - 10 - 12 * k), int(y + bar / 2)), 4, tone(r), -1, cv2.LINE_AA)
        ink = [30] * 3 if pale else [210] * 3
        n, size = r.integers(1, 9, 2), r.uniform(12, 50)
        even = tone(r) if r.random() < 0.5 else None
        for row in range(n[1]):
            for column in range(n[0]):
                at = x + 8 + column * size * 1.25, y + bar + 8 + row * size * 1.25
                if r.random() < 0.8:
                    box(sheet, *at, size, size, even or tone(r), r.uniform(0, 6))
                if r.random() < 0.6:
                    glyph(r, sheet, at[0] + size / 2, at[1] + size / 2, size * 0.7, tone(r))
        for k in range(r.integers(0, 8)):
            text(r, sheet, x + w * 0.4, y + bar + 14 + k * 16, 9, ink)
    return []


def shelf(r, sheet):
    """Boards with books, boxes and tins."""
    y, tall = 0.0, r.uniform(40, 110)
    while y < SIDE:
        x = 0.0
        while x < SIDE:
            w, h = r.uniform(6, 50), tall * r.uniform(0.4, 0.92)
            if r.random() < 0.85:
                box(sheet, x, y + tall - h, w, h, tone(r), r.uniform(0, 4))
                if r.random() < 0.6:
                    box(sheet, x + w * 0.15, y + tall - h * r.uniform(0.4, 0.9), w * 0.7, h * 0.3, tone(r))
            x += w + r.uniform(0, 5)
        box(sheet, 0, y + tall, SIDE, r.uniform(3, 9), tone(r))
        y += tall + 9
    return []


KINDS = [paper, calendar, icons, icons, chart, code, keys, window, window, shelf]


def drawn(r, kind=None):
    """A sheet (RGB) and the corners of places in it that look a little like a face."""
    ground = [int(c) for c in (r.integers(200, 256, 3) if r.random() < 0.6 else r.integers(0, 256, 3))]
    sheet = np.full((SIDE, SIDE, 3), ground, np.uint8)
    quads = (kind or KINDS[r.integers(0, len(KINDS))])(r, sheet) or []
    return sheet, quads


def put(r, picture, flats, whole=False, kind=None):
    """Lays a sheet, drawn or one of `flats` (BGR), into the picture, aslant or over all of it; gives the corners of what looks like a face."""
    if flats and kind is None and r.random() < 0.5:
        flat = flats[r.integers(0, len(flats))]
        part = np.minimum(flat.shape[:2], r.integers(120, 480))
        y, x = (r.integers(0, side - p + 1) for side, p in zip(flat.shape[:2], part))
        sheet, quads = flat[y : y + part[0], x : x + part[1]], []
    else:
        sheet, quads = drawn(r, kind)
        sheet = sheet[:, :, ::-1]
    h, w = sheet.shape[:2]
    corners = np.array([(-w, -h), (w, -h), (w, h), (-w, h)]) / 2.0
    if whole:
        scale = max(WIDTH / w, HEIGHT / h) * r.uniform(1.0, 1.4)
        tilt, middle = 0.02, np.array([WIDTH, HEIGHT]) / 2
    else:
        scale = np.exp(r.uniform(np.log(70), np.log(420))) / max(w, h)
        tilt, middle = 0.45, r.uniform(0, 1, 2) * [WIDTH, HEIGHT]
    m = turn([*r.normal(size=2), 0], r.normal(0, tilt)) @ turn([0, 0, 1], r.normal(0, 0.08 if r.random() < 0.7 else 2.0))
    space = np.pad(corners * scale, ((0, 0), (0, 1))) @ m.T
    seen = space[:, :2] / (1 + space[:, 2:] / (1.5 * WIDTH)) + middle
    matrix = cv2.getPerspectiveTransform((corners + [w / 2, h / 2]).astype(np.float32), seen.astype(np.float32))
    if scale < 0.7:
        sheet = cv2.GaussianBlur(sheet, (0, 0), 0.4 / scale)
    lit = cv2.convertScaleAbs(np.ascontiguousarray(sheet), alpha=r.uniform(0.5, 1.1))
    cv2.warpPerspective(lit, matrix, (WIDTH, HEIGHT), dst=picture, borderMode=cv2.BORDER_TRANSPARENT)
    return [cv2.perspectiveTransform(quad[None].astype(np.float32), matrix)[0].astype(float) for quad in quads]
