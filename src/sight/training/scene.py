"""Draws pictures of cubes as webcams see them, with where each face lies.

Everything is varied far beyond what one cube, one room or one camera shows: shades, plastic, size and wear of stickers, layers
out of line or turning, lenses, hands and what stands around. Solids are drawn as projected polygons, so a turned layer
or a bent lens costs no more than a plain cube. What a sensor and a codec do to the picture comes after: webcam.py.

A scene is a picture (HEIGHT x WIDTH x 3, BGR, 8 bit) and labels, one a face:
corners (4x2, clockwise in the picture, pixels), kind (FACE, UNTOLD or NONE), covered (share of each sticker that a hand
hides, row by row from the first corner along the first side).
NONE are places that look like a face and are none: parts of larger grids, faces of other puzzles, broken faces.
"""

import cv2
import numpy as np

WIDTH, HEIGHT = 512, 384
FACE, UNTOLD, NONE = 1, 0, -1

# Outward normals of the six faces, with the directions of columns and rows: clockwise seen from outside (x right, y down, z away).
FACES = [
    (np.array(n, float), np.array(u, float), np.array(v, float))
    for n, u, v in [
        ((0, 0, -1), (1, 0, 0), (0, 1, 0)),
        ((0, 0, 1), (-1, 0, 0), (0, 1, 0)),
        ((1, 0, 0), (0, 0, 1), (0, 1, 0)),
        ((-1, 0, 0), (0, 0, -1), (0, 1, 0)),
        ((0, -1, 0), (1, 0, 0), (0, 0, -1)),
        ((0, 1, 0), (1, 0, 0), (0, 0, 1)),
    ]
]

# Usual shades of the trade as remembered (sRGB, 0 to 255); each scene changes them.
SHADES = [
    [(245, 245, 245), (250, 215, 0), (190, 15, 35), (255, 100, 10), (0, 150, 70), (0, 70, 180)],
    [(255, 255, 255), (240, 255, 40), (255, 40, 60), (255, 140, 30), (60, 230, 80), (40, 120, 255)],
    [(235, 232, 225), (235, 220, 120), (225, 130, 140), (240, 180, 130), (150, 205, 160), (140, 175, 220)],
    [(225, 225, 220), (200, 180, 40), (130, 30, 35), (190, 90, 40), (40, 100, 60), (30, 50, 110)],
    [(250, 250, 250), (255, 235, 0), (230, 0, 90), (255, 120, 0), (120, 220, 0), (0, 160, 230)],
]

SKIN = [(255, 219, 190), (241, 194, 160), (224, 172, 125), (198, 134, 90), (141, 85, 50), (90, 55, 40), (250, 200, 190)]


def linear(rgb):
    return (np.asarray(rgb, float) / 255.0) ** 2.2


def encoded(value):
    return 255.0 * np.clip(value, 0, 1) ** (1 / 2.2)


def turn(axis, angle):
    """Rotation matrix about an axis (Rodrigues)."""
    return cv2.Rodrigues(np.asarray(axis, float) / np.linalg.norm(axis) * angle)[0]


def any_turn(r):
    q = r.normal(size=4)
    w, x, y, z = q / np.linalg.norm(q)
    return np.array(
        [
            [1 - 2 * (y * y + z * z), 2 * (x * y - z * w), 2 * (x * z + y * w)],
            [2 * (x * y + z * w), 1 - 2 * (x * x + z * z), 2 * (y * z - x * w)],
            [2 * (x * z - y * w), 2 * (y * z + x * w), 1 - 2 * (x * x + y * y)],
        ]
    )


class Camera:
    """A lens of 40 to 108 degrees that may bend, and a shutter that may roll."""

    def __init__(self, r):
        wide = r.random() < 0.3
        view = np.radians(r.uniform(75, 108) if wide else r.uniform(40, 78))
        self.focal = WIDTH / 2 / np.tan(view / 2)
        self.bend = r.uniform(-0.28, 0.03) if r.random() < 0.4 else r.normal(0, 0.02)
        self.bend2 = r.uniform(0, 0.05) if self.bend < -0.1 else 0.0
        self.centre = np.array([WIDTH / 2, HEIGHT / 2]) + r.normal(0, 6, 2)
        rolls = r.random() < 0.3
        self.skew = r.uniform(-0.16, 0.16) if rolls else 0.0
        self.stretch = 1 + (r.uniform(-0.1, 0.1) if rolls else 0.0)
        self.wobble = r.uniform(0, 3) if rolls and r.random() < 0.3 else 0.0

    def project(self, points):
        """Pixels of points in space (x right, y down, z ahead), N x 3 to N x 2."""
        z = np.maximum(points[:, 2:], 0.2)
        flat = points[:, :2] / z
        r2 = np.minimum((flat**2).sum(1, keepdims=True), 2.0)
        out = self.focal * flat * (1 + self.bend * r2 + self.bend2 * r2 * r2)
        out[:, 1] *= self.stretch
        out[:, 0] += self.skew * out[:, 1] + self.wobble * np.sin(out[:, 1] / 25)
        return out + self.centre


def fill(picture, polygon, colour):
    cv2.fillPoly(picture, [np.round(polygon * 16).astype(np.int32)], colour, cv2.LINE_AA, 4)


def rounded(half, radius, r=None, uneven=0.0):
    """A rounded square about the origin, N x 2; `uneven` moves each corner."""
    radius = min(radius, half * 0.98)
    angles = np.linspace(0, np.pi / 2, 4)
    arc = radius * np.stack([np.cos(angles), np.sin(angles)], 1)
    out = []
    for k in range(4):
        c, s = [(1, 0), (0, 1), (-1, 0), (0, -1)][k]
        inner = half - radius
        corner = arc @ np.array([[c, s], [-s, c]]) + [(inner, inner), (-inner, inner), (-inner, -inner), (inner, -inner)][k]
        if r is not None and uneven:
            corner = corner + r.normal(0, uneven, 2)
        out.append(corner)
    return np.concatenate(out)


class Looks:
    """How a cube is made: its shades, plastic, stickers and wear."""

    def __init__(self, r, size=3):
        if r.random() < 0.12:
            colours = [tuple(r.integers(10, 256, 3)) for _ in range(6)]
        else:
            colours = SHADES[r.choice(len(SHADES), p=[0.36, 0.18, 0.14, 0.16, 0.16])]
        colours = np.array([linear(c) for c in colours])
        colours = colours * np.exp(r.normal(0, 0.15, (6, 1))) + r.normal(0, 0.02, (6, 3))
        grey = colours.mean(1, keepdims=True)
        colours = grey + (colours - grey) * r.uniform(0.6, 1.15)
        self.colours = np.clip(colours, 0.004, 0.95)
        self.stickerless = r.random() < 0.42
        if r.random() < 0.62:
            self.plastic = np.full(3, r.uniform(0.003, 0.03))
        elif r.random() < 0.6:
            self.plastic = np.full(3, r.uniform(0.45, 0.9)) * (1 - r.uniform(0, 0.12, 3))
        else:
            self.plastic = linear(r.integers(10, 250, 3))
        self.groove = r.uniform(0.0, 0.035) if r.random() < 0.6 else r.uniform(0.03, 0.09)
        self.gap = np.full(3, r.uniform(0.002, 0.02)) if r.random() < 0.75 else self.plastic * r.uniform(0.3, 0.9)
        self.round = r.uniform(0.02, 0.2)
        if self.stickerless:
            self.half = r.uniform(0.40, 0.49)
            self.corner = r.uniform(0.02, 0.3)
            self.rim = r.uniform(0.55, 1.05)
        else:
            self.half = r.uniform(0.41, 0.485) if r.random() < 0.62 else r.uniform(0.31, 0.42)
            self.corner = r.uniform(0.0, 0.16) if r.random() < 0.7 else r.uniform(0.1, 0.42)
            self.rim = 1.0
        careful = r.random() < 0.6
        self.askew = r.uniform(0, 0.012) if careful else r.uniform(0.01, 0.05)
        self.twist = np.radians(r.uniform(0, 0.8) if careful else r.uniform(0.5, 5))
        self.uneven = 0.0 if careful else r.uniform(0, 0.02)
        self.wear = 0.0 if r.random() < 0.6 else r.uniform(0.03, 0.5)
        self.bevel = r.random() < 0.45
        self.fade = r.uniform(0, 0.25) if r.random() < 0.4 else 0.0
        self.carbon = r.random() < 0.06
        self.logo = r.random() < 0.25

    def stickers(self, r, size):
        """The colour number of each sticker, 6 x size x size."""
        way = r.random()
        if way < 0.5:
            return r.integers(0, 6, (6, size, size))
        out = np.repeat(np.arange(6), size * size).reshape(6, size, size)
        r.shuffle(out, axis=0)
        if way < 0.62:
            return out
        # On the way: some rows and single stickers are of other colours.
        for face in out:
            for _ in range(r.integers(0, 4)):
                line = r.integers(0, size)
                if r.random() < 0.5:
                    face[line] = r.integers(0, 6)
                else:
                    face[:, line] = r.integers(0, 6)
        change = r.random(out.shape) < r.uniform(0, 0.5)
        return np.where(change, r.integers(0, 6, out.shape), out)


class Light:
    """One or two lamps and what comes from all around."""

    def __init__(self, r):
        self.around = r.uniform(0.25, 0.8) * np.exp(r.normal(0, 0.06, 3))
        self.lamps = []
        for _ in range(r.integers(1, 3)):
            d = r.normal(size=3) + [0, -0.8, -0.8]
            self.lamps.append((d / np.linalg.norm(d), r.uniform(0.2, 0.9) * np.exp(r.normal(0, 0.1, 3))))
        self.slope = r.normal(0, 0.06, 3)

    def on(self, normal, at):
        """Light, by channel, on a surface at a place relative to the cube's middle, in cells."""
        lit = self.around + sum(max(0.0, normal @ d) * power for d, power in self.lamps)
        return lit * np.clip(1 + self.slope @ at, 0.3, 1.8)


class Solid:
    """A cube of size x size x size that stands somewhere, one layer perhaps turned."""

    def __init__(self, r, camera, light, size=3, cell=None, lines=None):
        self.size, self.light, self.r = size, light, r
        self.looks = Looks(r, size)
        self.colours = self.looks.stickers(r, size)
        self.half = size / 2
        # Uneven lines make another puzzle of it.
        self.lines = np.linspace(-self.half, self.half, size + 1) if lines is None else lines
        self.axis = r.integers(0, 3)
        self.angles = np.zeros(size)
        sloppy = r.random()
        if sloppy < 0.55:
            self.angles = np.radians(r.normal(0, 0.7, size))
        elif sloppy < 0.8:
            self.angles = np.radians(np.clip(r.normal(0, 3.5, size), -8, 8))
        elif sloppy < 0.92:
            self.angles[r.integers(0, size)] = np.radians(r.uniform(12, 78)) * r.choice([-1, 1])
        self.angles -= np.median(self.angles)
        self.place(r, camera, cell)

    def place(self, r, camera, cell):
        side = (cell * self.size) if cell else np.exp(r.uniform(np.log(40), np.log(350)))
        distance = max(camera.focal * self.size / side + self.half * 0.8, 1.35 * self.size)
        at = np.array([r.uniform(0.1, 0.9) * WIDTH, r.uniform(0.1, 0.9) * HEIGHT])
        if r.random() < 0.85:
            # Mostly whole in the picture.
            room = np.minimum(side * 0.72, np.array([WIDTH, HEIGHT]) * 0.48)
            at = np.array([r.uniform(room[0], WIDTH - room[0]), r.uniform(room[1], HEIGHT - room[1])])
        ray = np.append((np.asarray(at) - camera.centre) / camera.focal, 1.0)
        self.middle = ray * distance
        towards = self.middle / np.linalg.norm(self.middle)
        way = r.random()
        if way < 0.34:  # one face, nearly square to the camera
            tilt = turn([*r.normal(size=2), 0], np.radians(abs(r.normal(0, 16))))
            self.turned = tilt @ turn([0, 0, 1], r.uniform(0, 2 * np.pi))
        elif way < 0.74:  # a corner
            corner = turn([0, 0, 1], r.uniform(0, 2 * np.pi)) @ turn([1, 0, 0], np.arctan(np.sqrt(0.5))) @ turn([0, 1, 0], np.pi / 4)
            self.turned = turn(r.normal(size=3), np.radians(abs(r.normal(0, 11)))) @ corner
        elif way < 0.86:  # two faces, as held upright
            self.turned = turn([0, 0, 1], r.normal(0, 0.15)) @ turn([1, 0, 0], r.normal(0, 0.45)) @ turn([0, 1, 0], r.uniform(0, 1.57))
        else:
            self.turned = any_turn(r)
        # As seen along the line of sight, not along the camera's axis.
        z = np.array([0, 0, 1.0])
        across = np.cross(z, towards)
        if np.linalg.norm(across) > 1e-6:
            self.turned = turn(across, np.arccos(np.clip(z @ towards, -1, 1))) @ self.turned

    def layer_turns(self):
        axis = np.eye(3)[self.axis]
        return [turn(axis, a) if a else np.eye(3) for a in self.angles]

    def to_space(self, points, matrix):
        return points @ (self.turned @ matrix).T + self.middle

    def draw(self, picture, mask, camera):
        """Paints the cube, far layers first; `mask` becomes 255 where it is."""
        looks, r = self.looks, self.r
        matrices = self.layer_turns()
        axis = np.eye(3)[self.axis]
        # The camera as seen from the cube, along the layers' axis: layers beyond it are painted first.
        eye = (self.turned.T @ -self.middle)[self.axis]
        order = sorted(range(self.size), key=lambda k: -abs(eye - (self.lines[k] + self.lines[k + 1]) / 2))
        for k in order:
            low, high = self.lines[k], self.lines[k + 1]
            m = matrices[k]
            # The layer's inner sides, where a neighbour is turned away.
            for end, sign in ((low, -1.0), (high, 1.0)):
                if abs(end) < self.half - 1e-6:
                    self.inner(picture, mask, camera, axis * sign, axis * end, m)
            for f, (normal, u, v) in enumerate(FACES):
                world = self.turned @ m @ normal
                centre = self.to_space((normal * self.half)[None], m)[0]
                if world @ centre > -0.02 * np.linalg.norm(centre):
                    continue
                for row in range(self.size):
                    for column in range(self.size):
                        x = (self.lines[column] + self.lines[column + 1]) / 2
                        y = (self.lines[row] + self.lines[row + 1]) / 2
                        at = normal * self.half + u * x + v * y
                        if not low - 1e-6 <= at @ axis <= high + 1e-6 or (abs(normal @ axis) > 0.5 and (at @ axis > 0) != (low + high > 0)):
                            continue
                        if abs(normal @ axis) > 0.5 and not (abs(at @ axis - low) < 1e-6 or abs(at @ axis - high) < 1e-6):
                            continue
                        spans = (self.lines[column + 1] - self.lines[column], self.lines[row + 1] - self.lines[row])
                        self.cell(picture, mask, camera, (f, row, column), at, (normal, u, v), spans, m, world)

    def inner(self, picture, mask, camera, normal, at, m):
        world = self.turned @ m @ normal
        if world @ self.to_space(at[None], m)[0] > 0:
            return
        others = [e for i, e in enumerate(np.eye(3)) if i != self.axis]
        square = np.array([(-1, -1), (1, -1), (1, 1), (-1, 1)]) * self.half
        points = camera.project(self.to_space(at + square[:, :1] * others[0] + square[:, 1:] * others[1], m))
        shade = encoded(self.looks.plastic * self.light.on(world, np.zeros(3)))[::-1]
        fill(picture, points, shade.tolist())
        fill(mask, points, 255)

    def cell(self, picture, mask, camera, which, at, axes, spans, m, world):
        looks, r = self.looks, self.r
        normal, u, v = axes
        f, row, column = which

        def seen(shape, shift=(0.0, 0.0)):
            flat = (shape + shift) * spans
            return camera.project(self.to_space(at + flat[:, :1] * u + flat[:, 1:] * v, m))

        light = self.light.on(world, self.turned @ m @ at)
        base = looks.colours[self.colours[f, row, column]]
        if looks.fade:
            base = base * (1 - looks.fade * r.random()) + 0.05 * looks.fade * r.random()
        bgr = lambda c: encoded(c * light)[::-1].tolist()
        corner = np.array([(-0.5, -0.5), (0.5, -0.5), (0.5, 0.5), (-0.5, 0.5)])
        outer = seen(corner)
        fill(picture, outer, bgr(looks.gap))
        fill(mask, outer, 255)
        if looks.stickerless:
            fill(picture, seen(rounded(0.5 - looks.groove / 2, looks.round)), bgr(base * looks.rim))
            if looks.bevel or looks.rim < 0.95:
                fill(picture, seen(rounded(looks.half, looks.corner)), bgr(base))
        else:
            fill(picture, seen(rounded(0.5 - looks.groove / 2, looks.round)), bgr(looks.plastic))
            shift = r.normal(0, looks.askew, 2) if looks.askew else np.zeros(2)
            shape = rounded(looks.half, looks.corner, r, looks.uneven)
            if looks.twist:
                a = r.normal(0, looks.twist)
                shape = shape @ np.array([[np.cos(a), np.sin(a)], [-np.sin(a), np.cos(a)]])
            if looks.bevel:
                fill(picture, seen(shape, shift), bgr(base * r.uniform(0.6, 1.3)))
                shape = shape * r.uniform(0.88, 0.97)
            fill(picture, seen(shape, shift), bgr(base))
        if looks.wear and r.random() < looks.wear:
            self.worn(picture, seen, bgr)
        if looks.logo and (row, column) == (self.size // 2, self.size // 2) and r.random() < 0.4:
            self.mark(picture, seen, bgr)

    def worn(self, picture, seen, bgr):
        r, looks = self.r, self.looks
        under = looks.plastic if r.random() < 0.6 else np.full(3, r.uniform(0.2, 0.8))
        for _ in range(r.integers(1, 4)):
            if r.random() < 0.5:  # a corner rubbed off or peeled
                c = r.choice([-1, 1], 2) * looks.half
                fill(picture, seen(c * np.array([[1, 1], [1 - r.uniform(0.1, 0.9), 1], [1, 1 - r.uniform(0.1, 0.9)]])), bgr(under))
            else:  # a scratch
                a, b = r.uniform(-looks.half, looks.half, (2, 2))
                side = r.uniform(0.01, 0.04) * np.array([-(b - a)[1], (b - a)[0]])
                fill(picture, seen(np.array([a, b, b + side, a + side])), bgr(under))

    def mark(self, picture, seen, bgr):
        r = self.r
        colour = linear(r.integers(0, 256, 3))
        if r.random() < 0.5:
            angle = np.linspace(0, 2 * np.pi, 14)[:-1]
            fill(picture, seen(r.uniform(0.12, 0.36) * np.stack([np.cos(angle), np.sin(angle) * r.uniform(0.4, 1)], 1)), bgr(colour))
        for _ in range(r.integers(2, 7)):
            a = r.uniform(-0.3, 0.3, 2)
            b = a + r.uniform(-0.25, 0.25, 2)
            side = r.uniform(0.1, 0.4) * np.array([-(b - a)[1], (b - a)[0]])
            fill(picture, seen(np.array([a, b, b + side, a + side])), bgr(colour))

    def quads(self, camera):
        """(corners, kind, sticker middles, tilt) of each face that may be seen."""
        out = []
        matrices = self.layer_turns()
        for normal, u, v in FACES:
            along = abs(normal[self.axis]) > 0.5
            end = (0 if normal[self.axis] < 0 else self.size - 1) if along else None
            m = matrices[end] if along else np.eye(3)
            world = self.turned @ m @ normal
            square = np.array([(-1, -1), (1, -1), (1, 1), (-1, 1)]) * self.half
            space = self.to_space(normal * self.half + square[:, :1] * u + square[:, 1:] * v, m)
            towards = space.mean(0) / np.linalg.norm(space.mean(0))
            tilt = np.degrees(np.arccos(np.clip(-world @ towards, -1, 1)))
            if tilt > 80:
                continue
            broken = 0.0 if along else np.degrees(np.ptp(self.angles))
            kind = FACE
            if tilt > 66 or broken > 9.5:
                kind = UNTOLD
            if broken > 15:
                kind = NONE
            steps = (np.arange(3) - 1.0) * self.size / 3
            grid = np.array([(x, y) for y in steps for x in steps])
            middles = camera.project(self.to_space(normal * self.half + grid[:, :1] * u + grid[:, 1:] * v, m))
            out.append((camera.project(space), kind, middles, tilt))
        return out

    def parts(self, camera):
        """Quadrilaterals of three by three cells, or nearly, that are no faces of a cube of three."""
        out = []
        for normal, u, v in FACES:
            world = self.turned @ normal
            if world @ self.to_space((normal * self.half)[None], np.eye(3))[0] > -0.3:
                continue
            low = self.r.integers(0, max(self.size - 2, 1), 2)
            high = np.minimum(low + 3, self.size)
            if self.r.random() < 0.4:
                low, high = np.zeros(2, int), np.full(2, self.size)
            xs, ys = self.lines[[low[0], high[0]]], self.lines[[low[1], high[1]]]
            square = np.array([(xs[0], ys[0]), (xs[1], ys[0]), (xs[1], ys[1]), (xs[0], ys[1])])
            out.append(camera.project(self.to_space(normal * self.half + square[:, :1] * u + square[:, 1:] * v, np.eye(3))))
        return out


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


def finger(r, picture, mask, start, end, width, skin):
    """A finger from `start` to its tip at `end`: lighter along its middle, as round things are."""
    joint = (start + end) / 2 + r.normal(0, 0.12, 2) * np.linalg.norm(end - start)
    t = np.linspace(0, 1, 9)[:, None]
    path = (1 - t) ** 2 * start + 2 * t * (1 - t) * joint + t**2 * end
    lit = r.uniform(-0.3, 0.3, 2) * width
    for share, tone in ((1.0, 0.62), (0.86, 0.82), (0.62, 1.0), (0.34, 1.1)):
        colour = encoded(skin * tone)[::-1].tolist()
        for k in range(8):
            w = max(1, int(width * share * (1 - 0.18 * k / 8)))
            a, b = path[k] + lit * (1 - share), path[k + 1] + lit * (1 - share)
            cv2.line(picture, tuple(np.round(a * 16).astype(int)), tuple(np.round(b * 16).astype(int)), colour, w, cv2.LINE_AA, 4)
            if share == 1.0 and mask is not None:
                cv2.line(mask, tuple(np.round(a).astype(int)), tuple(np.round(b).astype(int)), 255, w)
    if r.random() < 0.5:
        along = (path[-1] - path[-3]) / (np.linalg.norm(path[-1] - path[-3]) + 1e-6)
        tip = path[-1] - along * width * 0.12
        angle = np.degrees(np.arctan2(along[1], along[0]))
        nail = encoded(np.clip(skin * 1.1 + 0.06, 0, 1))[::-1].tolist()
        cv2.ellipse(picture, (int(tip[0]), int(tip[1])), (max(1, int(width * 0.3)), max(1, int(width * 0.22))), angle, 0, 360, nail, -1, cv2.LINE_AA)


class Hands:
    """Hands that hold a cube: palms behind it, fingers over its rim."""

    def __init__(self, r, outline, light):
        self.r = r
        self.middle = outline.mean(0)
        self.outline = outline
        self.cell = np.sqrt(cv2.contourArea(outline.astype(np.float32)) + 1) / 4.2
        self.skin = linear(SKIN[r.integers(0, len(SKIN))]) * r.uniform(0.5, 1.1) * light.around / light.around.mean()
        way = r.random()
        if way < 0.34:
            self.sides = [0.0, np.pi]  # both hands at the sides
        elif way < 0.6:
            self.sides = [np.pi / 2 + r.normal(0, 0.4)]  # one below
        elif way < 0.8:
            self.sides = [r.choice([0.0, np.pi]) + r.normal(0, 0.3)]
        else:
            self.sides = list(r.uniform(0, 2 * np.pi, r.integers(1, 3)))

    def rim(self, angle):
        """The point of the outline in a direction from its middle."""
        d = np.array([np.cos(angle), np.sin(angle)])
        rel = self.outline - self.middle
        return self.middle + d * max((rel @ d).max(), 1.0)

    def palms(self, picture):
        for side in self.sides:
            rim = self.rim(side)
            d = (rim - self.middle) / (np.linalg.norm(rim - self.middle) + 1e-6)
            for out, width, tone in ((1.2, 3.4, 0.75), (2.6, 3.8, 0.85), (5.0, 3.0, 0.8)):
                c = rim + d * out * self.cell + self.r.normal(0, 0.3, 2) * self.cell
                colour = encoded(self.skin * tone)[::-1].tolist()
                cv2.ellipse(picture, (int(c[0]), int(c[1])), (int(width * self.cell * 0.6) + 1, int(width * self.cell * 0.45) + 1), np.degrees(side), 0, 360, colour, -1, cv2.LINE_AA)
            for _ in range(self.r.integers(1, 4)):
                a = side + self.r.normal(0, 0.35)
                end = self.rim(a) + self.r.normal(0, 0.3, 2) * self.cell
                finger(self.r, picture, None, rim + d * 3 * self.cell, end, self.cell * self.r.uniform(0.7, 1.1), self.skin)

    def fingers(self, picture, mask):
        r = self.r
        for side in self.sides:
            for _ in range(r.integers(1, 5)):
                a = side + r.normal(0, 0.4)
                rim = self.rim(a)
                d = (rim - self.middle) / (np.linalg.norm(rim - self.middle) + 1e-6)
                reach = r.uniform(-0.2, 0.7) if r.random() < 0.65 else r.uniform(0.5, 1.7)
                end = rim - d * reach * self.cell + r.normal(0, 0.15, 2) * self.cell
                start = rim + d * r.uniform(1.5, 3) * self.cell + r.normal(0, 0.8, 2) * self.cell
                finger(r, picture, mask, start, end, self.cell * r.uniform(0.6, 1.15), self.skin)


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


def scene(r, photographs):
    """One picture and its labels: [(corners, kind, covered)]."""
    camera, light = Camera(r), Light(r)
    picture = background(r, photographs)
    mask = np.zeros((HEIGHT, WIDTH), np.uint8)
    labels = []
    none = lambda quad: labels.append((quad, NONE, np.zeros(9)))
    for _ in range(r.choice([0, 1, 2, 3], p=[0.45, 0.25, 0.18, 0.12])):
        for quad in board(r, camera, picture):
            none(quad)
    if r.random() < 0.25:
        household(r, camera, picture)
    if r.random() < 0.22:
        for quad in other_puzzle(r, camera, light, picture, mask):
            none(quad)
    mask[:] = 0
    cubes = r.choice([0, 1, 2], p=[0.17, 0.77, 0.06])
    faces = []
    hidden = np.zeros((HEIGHT, WIDTH), np.uint8)
    for n in range(cubes):
        cube = Solid(r, camera, light)
        quads = cube.quads(camera)
        if not quads:
            continue
        outline = np.concatenate([q[0] for q in quads])
        held = r.random() < 0.72
        hands = Hands(r, outline, light) if held else None
        own = np.zeros((HEIGHT, WIDTH), np.uint8)
        if held:
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
        if held:
            hands.fingers(picture, hidden)
        elif r.random() < 0.1:  # something lies before it
            a = outline.mean(0) + r.normal(0, 60, 2)
            shape = a + r.normal(0, 40, (5, 2))
            shape = cv2.convexHull(shape.astype(np.float32))[:, 0]
            fill(picture, shape, r.integers(0, 256, 3).tolist())
            fill(hidden, shape, 255)
    picture = np.clip(shine(r, picture, faces, mask, photographs), 0, 255).astype(np.uint8)
    for corners, kind, middles, tilt in faces:
        side = np.sqrt(abs(cv2.contourArea(corners.astype(np.float32))))
        spread = (corners[1] + corners[2] - corners[0] - corners[3], corners[2] + corners[3] - corners[0] - corners[1])
        covered = np.zeros(9)
        for k, middle in enumerate(middles):
            grid = np.array([(a, b) for a in (-0.1, -0.05, 0, 0.05, 0.1) for b in (-0.1, -0.05, 0, 0.05, 0.1)])
            at = middle + grid[:, :1] * spread[0] / 2 + grid[:, 1:] * spread[1] / 2
            at = at.round().astype(int)
            inside = (at[:, 0] >= 0) & (at[:, 1] >= 0) & (at[:, 0] < WIDTH) & (at[:, 1] < HEIGHT)
            share = (hidden[np.clip(at[:, 1], 0, HEIGHT - 1), np.clip(at[:, 0], 0, WIDTH - 1)] > 0) | ~inside
            covered[k] = share.mean()
        if kind == FACE:
            lost = (covered > 0.5).sum()
            if side < 26 or lost > 3:
                kind = UNTOLD
        over = np.maximum(-corners, corners - [WIDTH, HEIGHT]).max() / (side + 1)
        if over > 0.12 and kind == FACE:
            kind = UNTOLD
        labels.append((corners, kind, covered))
    return picture, labels
