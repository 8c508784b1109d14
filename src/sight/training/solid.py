"""A cube, its light and the camera that sees it. Solids are drawn as projected polygons, so a turned layer or a bent lens costs no
more than a plain cube."""

import cv2
import numpy as np

WIDTH, HEIGHT = 512, 384
# A face; one that a trainer may take for either; what looks like a face and is none; a face that reaches out of the picture.
FACE, UNTOLD, NONE, CUT = 1, 0, -1, 2
# Degrees away from the camera up to which a face is to be found: the third face of a corner that is held to one side.
STEEPEST = 77

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


POSES = ["face", "corner", "upright", "low", "any"]


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
        if sloppy < 0.5:
            self.angles = np.radians(r.normal(0, 0.7, size))
        elif sloppy < 0.74:
            self.angles = np.radians(np.clip(r.normal(0, 3.5, size), -8, 8))
        elif sloppy < 0.92:
            self.angles[r.integers(0, size)] = np.radians(r.uniform(10, 80)) * r.choice([-1, 1])
        self.angles -= np.median(self.angles)
        # Some are held too near to be whole in the picture: what looks at them from afar learns to know them.
        self.is_near = cell is None and r.random() < 0.1
        low, high = (300, 720) if self.is_near else (40, 350)
        self.side = (cell * size) if cell else np.exp(r.uniform(np.log(low), np.log(high)))
        self.pose = POSES[r.choice(len(POSES), p=[0.3, 0.34, 0.12, 0.12, 0.12])]
        self.place(r, camera)

    def place(self, r, camera):
        """Puts it before the camera, about `side` pixels a face, as `pose` says."""
        side = self.side
        distance = max(camera.focal * self.size / side + self.half * 0.8, (1.1 if self.is_near else 1.35) * self.size)
        at = np.array([r.uniform(0.1, 0.9) * WIDTH, r.uniform(0.1, 0.9) * HEIGHT])
        if r.random() < 0.85:
            # Mostly whole in the picture.
            room = np.minimum(side * 0.72, np.array([WIDTH, HEIGHT]) * 0.48)
            at = np.array([r.uniform(room[0], WIDTH - room[0]), r.uniform(room[1], HEIGHT - room[1])])
        ray = np.append((np.asarray(at) - camera.centre) / camera.focal, 1.0)
        self.middle = ray * distance
        towards = self.middle / np.linalg.norm(self.middle)
        spin = lambda axis, degrees: turn(axis, np.radians(degrees))
        if self.pose == "face":  # one, nearly square to the camera
            self.turned = spin([*r.normal(size=2), 0], abs(r.normal(0, 16))) @ spin([0, 0, 1], r.uniform(0, 360))
        elif self.pose == "corner":
            corner = spin([0, 0, 1], r.uniform(0, 360)) @ spin([1, 0, 0], 35.26) @ spin([0, 1, 0], 45)
            self.turned = spin(r.normal(size=3), abs(r.normal(0, 11))) @ corner
        elif self.pose == "upright":  # two faces
            self.turned = spin([0, 0, 1], r.normal(0, 9)) @ spin([1, 0, 0], r.normal(0, 26)) @ spin([0, 1, 0], r.uniform(0, 90))
        elif self.pose == "low":  # before the chest: the top is seen at a slant
            self.turned = spin([0, 0, 1], r.normal(0, 8)) @ spin([1, 0, 0], r.uniform(22, 42)) @ spin([0, 1, 0], r.uniform(-45, 45))
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
            if tilt > 84:
                continue
            broken = 0.0 if along else np.degrees(np.ptp(self.angles))
            kind = FACE
            if tilt > STEEPEST or broken > 9.5:
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
