"""Draws films of two hands that turn a cube before a webcam, with what is true of every frame.

python films.py PAIRSIGHT PHOTOGRAPHS OUT [FIRST] [HOW MANY] [KIND...]

PAIRSIGHT is the program itself, which is asked for the turns that it would tell. Each film is a Motion-JPEG file, with its truth
beside it (`lab films OUT` plays and counts them):
fps; states ({t, net}, from when on); turns ({began, ended, layer by its centre, quarters, slip}); rests, rotations, covers, absences and
part_way ({began, ended, ...}); frames, one each: the number of its state, and the layer on its way with its degrees.
The net is that of the cube as it is held: the centres tell which hold that is.
"""

import functools
import json
import pathlib
import subprocess
import sys

import cv2
import numpy as np

import solid

# Before the others take it over: what webcams give.
solid.WIDTH, solid.HEIGHT = 640, 480

import scene  # noqa: E402
from hands import Hands, finger  # noqa: E402
from solid import FACES, SHADES, Camera, Light, Looks, Solid, turn  # noqa: E402

LETTERS = "wyrogb"
NAMES = ["white", "yellow", "red", "orange", "green", "blue"]
SIDES = ["F", "B", "R", "L", "U", "D"]  # in the order of FACES
ROWS = {"up": "U", "left": "L", "front": "F", "right": "R", "back": "B", "down": "D"}
ABOUT = {"x": "R", "y": "U", "z": "F"}
# The usual scheme, white up and green in front, by the numbers of the colours.
SOLVED = {"U": 0, "D": 1, "R": 2, "L": 3, "F": 4, "B": 5}


def normal(side):
    return FACES[SIDES.index(side)][0]


def places():
    """Middle and normal of the 54 stickers, in the order of FACES, row by row."""
    at, out = [], []
    for n, u, v in FACES:
        for row in range(3):
            for column in range(3):
                at.append(n * 1.5 + u * (column - 1) + v * (row - 1))
                out.append(n)
    return np.array(at), np.array(out)


AT, OUT = places()


@functools.cache
def moved(side, quarters, whole=False):
    """Where each of the 54 stickers comes from, when a layer or the whole cube is turned clockwise."""
    n = normal(side)
    m = turn(n, -quarters * np.pi / 2)
    source = np.arange(54)
    there = np.arange(54) if whole else np.flatnonzero(AT @ n > 0.9)
    for s in there:
        near = np.abs(AT - m @ AT[s]).sum(1) + np.abs(OUT - m @ OUT[s]).sum(1)
        source[near.argmin()] = s
    return source


class State:
    """The colours of the 54 stickers as the cube is held, and which sticker each is."""

    def __init__(self, colours, which=None):
        self.colours = np.array(colours)
        self.which = np.arange(54) if which is None else which

    def after(self, side, quarters, whole=False):
        source = moved(side, quarters, whole)
        return State(self.colours[source], self.which[source])

    def side_of(self, centre):
        return SIDES[int(np.flatnonzero(self.colours[4::9] == centre)[0])]

    def net(self):
        rows = self.colours.reshape(6, 3, 3)
        return {name: ["".join(LETTERS[c] for c in row) for row in rows[SIDES.index(side)]] for name, side in ROWS.items()}


def solved():
    return State(np.repeat([SOLVED[side] for side in SIDES], 9))


def parsed(moves):
    """(side, quarters, whole) of each move in the notation of the World Cube Association; no slices, no wide turns."""
    for word in moves.split():
        quarters = 2 if "2" in word else 3 if "'" in word else 1
        yield ABOUT.get(word[0], word[0]), quarters, word[0] in ABOUT


def done(state, moves):
    for move in parsed(moves):
        state = state.after(*move)
    return state


def held(state, down, front):
    """The same cube in another hold."""
    for first in ("", "x", "x2", "x'", "z", "z'"):
        for then in ("", "y", "y2", "y'"):
            new = done(state, f"{first} {then}")
            if new.side_of(NAMES.index(down)) == "D" and new.side_of(NAMES.index(front)) == "F":
                return new
    raise ValueError("no such hold")


class Program:
    """Asks what the coach would tell."""

    def __init__(self, path):
        self.path = path

    def advice(self, state, *more):
        asked = subprocess.run([self.path, "advise", "--net", "-", "--json", *more], input=json.dumps(state.net()), capture_output=True, text=True)
        return json.loads(asked.stdout)

    def scrambled(self, r):
        """A cube in the hold of its hint, and the moves of each part of its solution."""
        words = [side + way for side in SIDES for way in ("", "'", "2")]
        state = done(solved(), " ".join(r.choice(words, 25)))
        advice = self.advice(state, "--whole")
        return held(state, **advice["hold"]), [part["moves"] for part in advice["solution"]]

    def mid_solve(self, r):
        """A cube on the way, in the hold of its hint, and the turns that the hint leads through."""
        state, parts = self.scrambled(r)
        state = done(state, " ".join(parts[: r.integers(0, 5)]))
        advice = self.advice(state)
        state = held(state, **advice["hold"])
        if advice["stage"] == "pairs":
            pair = next(pair for pair in advice["pairs"] if pair["slot"] == advice["next"])
            routes = [route for route in pair["routes"] if route["style"] == "plain"]
        else:
            routes = (advice.get("cross") or advice.get("last_layer") or {"routes": []})["routes"]
        if not routes or set(routes[0]["moves"]) & set("MESwrludbf"):
            return self.mid_solve(r)
        return state, routes[0]["moves"]


class Block(Solid):
    """A cube whose stickers stay what they are, wherever they are turned to."""

    def __init__(self, r, camera, light):
        super().__init__(r, camera, light)
        self.pose = "low"
        looks = self.looks
        while True:
            colours = np.array([solid.linear(c) for c in SHADES[r.choice(4, p=[0.45, 0.2, 0.15, 0.2])]])
            colours = np.clip(colours * np.exp(r.normal(0, 0.08, (6, 1))) + r.normal(0, 0.01, (6, 3)), 0.004, 0.95)
            apart = np.abs(np.log(colours + 0.02)[:, None] - np.log(colours + 0.02)[None]).sum(2) + 9 * np.eye(6)
            if apart.min() > 0.5:
                break
        looks.colours = colours
        looks.wear = min(looks.wear, 0.1)
        self.seed = int(r.integers(1 << 30))
        self.which = np.arange(54)

    def show(self, state, side=None, degrees=0.0):
        self.colours = state.colours.reshape(6, 3, 3)
        self.which = state.which
        self.angles = np.zeros(3)
        if side:
            n = normal(side)
            self.axis = int(np.abs(n).argmax())
            sign = n[self.axis]
            self.angles[2 if sign > 0 else 0] = -sign * np.radians(degrees)

    def cell(self, picture, mask, camera, which, *rest):
        f, row, column = which
        self.r = np.random.default_rng([self.seed, int(self.which[9 * f + 3 * row + column])])
        super().cell(picture, mask, camera, which, *rest)


class Room:
    """A room, a camera, one cube or two, and hands: all that stays the same in one film."""

    def __init__(self, r, photographs):
        self.r = r
        self.camera = Camera(r)
        self.camera.skew, self.camera.stretch, self.camera.wobble = 0.0, 1.0, 0.0
        self.camera.bend *= 0.5
        self.light = Light(r)
        self.back = scene.background(r, photographs)
        for _ in range(r.choice(3, p=[0.6, 0.3, 0.1])):
            scene.things.household(r, self.camera, self.back)
        self.cubes = [Block(r, self.camera, self.light) for _ in range(2)]
        side = r.uniform(85, 170)
        self.distance = self.camera.focal * 3 / side + 1.2
        self.at = np.array([r.uniform(0.4, 0.6) * solid.WIDTH, r.uniform(0.45, 0.62) * solid.HEIGHT])
        self.yaw = r.choice([-1, 1]) * np.radians(r.uniform(18, 45))
        self.tilt = np.radians(r.uniform(22, 42))
        self.trembles = r.uniform(0.3, 1.5)
        self.phases = r.uniform(0, 6.3, (4, 5))
        both = r.random() < 0.7
        self.sides = [r.normal(0, 0.2), np.pi + r.normal(0, 0.2)] if both else [np.pi / 2 + r.normal(0, 0.3)]
        self.grip = 0
        # Exposure that hunts, or stays.
        self.hunts = r.uniform(0.05, 0.25) if r.random() < 0.25 else 0.0
        self.gain = np.exp(r.normal(0, 0.12)) * np.exp(r.normal(0, 0.06, 3))
        self.soft = r.uniform(0.4, 1.1)
        self.noise = np.exp(r.uniform(np.log(0.8), np.log(6)))
        self.plates = [r.normal(0, 1, (solid.HEIGHT, solid.WIDTH, 3)).astype(np.float32) for _ in range(3)]
        self.quality = int(r.integers(60, 95))

    def take_hold(self, state):
        """A grip that leaves most of the cube in sight; the share of it that is hidden."""
        while True:
            self.grip = int(self.r.integers(1 << 30))
            own, hidden = np.zeros((2, *self.back.shape[:2]), np.uint8)
            self.drawn(0.0, {"state": state}, own, hidden)
            share = (hidden[own > 0] > 0).mean()
            if share < 0.22:
                return float(share)

    def shake(self, t, k):
        waves = np.sin(self.phases[k] + t * np.array([3.1, 5.3, 8.7, 13.0, 1.3]))
        return self.trembles * float(waves @ [0.5, 0.4, 0.25, 0.15, 0.6])

    def place(self, block, t, pose):
        x = self.at + [self.shake(t, 0), self.shake(t, 1)] + np.array(pose.get("shift", (0.0, 0.0)))
        block.middle = np.append((x - self.camera.centre) / self.camera.focal, 1.0) * self.distance
        spin = turn([1, 0, 0], self.tilt + np.radians(0.4) * self.shake(t, 2)) @ turn([0, 1, 0], self.yaw + np.radians(0.4) * self.shake(t, 3))
        block.turned = spin @ pose.get("spin", np.eye(3))

    def drawn(self, t, pose, own=None, hidden=None):
        """One moment without blur or noise; `own` becomes 255 where the cube is, `hidden` where fingers are."""
        picture = self.back.copy()
        block = self.cubes[pose.get("cube", 0)]
        block.show(pose["state"], *pose.get("layer", ()))
        self.place(block, t, pose)
        quads = block.quads(self.camera)
        if not quads or np.concatenate([q[0] for q in quads])[:, 1].min() > solid.HEIGHT + 60:
            return picture
        outline = np.concatenate([q[0] for q in quads])
        hands = Hands(np.random.default_rng(self.grip + pose.get("grip", 0)), outline, self.light)
        hands.sides = [side + pose.get("reach", 0.0) for side in pose.get("sides", self.sides)]
        if hands.sides:
            hands.palms(picture)
        block.draw(picture, np.zeros(picture.shape[:2], np.uint8) if own is None else own, self.camera)
        if hands.sides:
            hands.fingers(picture, hidden)
        if "cover" in pose:
            self.cover(picture, outline, pose["cover"], hands)
        return picture

    def cover(self, picture, outline, share, hands):
        """A hand that comes from the side and lies over the cube."""
        r = np.random.default_rng(self.grip)
        middle, cell = outline.mean(0), hands.cell
        from_side = middle + [(1 - share) * 9 * cell, 1.5 * cell]
        hands.limb(picture, from_side + [0.0, 0.0], from_side + [9 * cell, 6 * cell], cell * 4.4, hands.tone(0.85))
        for k in range(4):
            start = from_side + [0.6 * cell, (k - 1.5) * 1.15 * cell]
            finger(r, picture, None, start, start - [4.2 * cell, 0.5 * cell], cell * 1.3, hands.skin)

    def taken(self, t, poses):
        """A frame: the mean of some moments, as the sensor and the codec give it."""
        picture = np.mean([self.drawn(at, pose).astype(np.float32) for at, pose in poses], 0)
        hunt = np.exp(self.hunts * np.sin(1.7 * t + self.phases[0, 0]) * np.sin(0.6 * t))
        picture = cv2.GaussianBlur(picture * (self.gain * hunt).astype(np.float32), (0, 0), self.soft)
        plate = self.plates[self.r.integers(3)]
        plate = np.roll(plate, (int(self.r.integers(solid.HEIGHT)), int(self.r.integers(solid.WIDTH))), (0, 1))
        picture = np.clip(picture + self.noise * plate, 0, 255).astype(np.uint8)
        return cv2.imencode(".jpg", picture, [cv2.IMWRITE_JPEG_QUALITY, self.quality])[1].tobytes()


def smooth(share):
    return share * share * (3 - 2 * share)


class Film:
    """What hands do, act by act: each act is its seconds and what is seen of it at a share of them."""

    def __init__(self, room, r, state):
        self.room, self.r, self.state = room, r, state
        self.t, self.acts = 0.0, []
        self.base = {}
        self.truth = {key: [] for key in ("turns", "rests", "rotations", "covers", "absences", "part_way")}
        self.truth["states"] = [{"t": 0.0, "net": state.net()}]
        self.truth["hidden"] = round(room.take_hold(state), 3)

    def act(self, seconds, pose, kind=None, **facts):
        index = len(self.truth["states"]) - 1
        base, state = dict(self.base), self.state
        self.acts.append((self.t, seconds, index, lambda share: {**base, "state": state, **pose(share)}))
        if kind:
            self.truth[kind].append({"began": round(self.t, 3), "ended": round(self.t + seconds, 3), **facts})
        self.t += seconds

    def become(self, state):
        self.state = state
        self.truth["states"].append({"t": round(self.t, 3), "net": state.net()})

    def rest(self, seconds):
        self.act(seconds, lambda share: {}, "rests")

    def turn(self, side, quarters, seconds, slip=False):
        degrees = {1: 90, 2: 180, 3: -90}[quarters]
        seconds *= 1.6 if quarters == 2 else 1.0
        swing = self.r.uniform(-0.5, 0.5)
        layer = NAMES[self.state.colours[9 * SIDES.index(side) + 4]]
        pose = lambda share: {"layer": (side, degrees * smooth(share)), "reach": swing * np.sin(np.pi * share)}
        self.act(seconds, pose, "turns", layer=layer, quarters=quarters, slip=slip)
        self.become(self.state.after(side, quarters))

    def rotate(self, side, quarters, seconds):
        angle = {1: -1, 2: -2, 3: 1}[quarters] * np.pi / 2
        seconds *= 1.5 if quarters == 2 else 1.0
        pose = lambda share: {"spin": turn(normal(side), angle * smooth(share))}
        self.act(seconds, pose, "rotations", about=side, quarters=quarters)
        self.state = self.state.after(side, quarters, whole=True)
        self.truth["states"].append({"t": round(self.t, 3), "net": self.state.net()})

    def part_way(self, side, degrees, seconds):
        """Leaves a layer out of line for a while."""
        go = min(0.3, seconds / 3)
        layer = NAMES[self.state.colours[9 * SIDES.index(side) + 4]]
        self.act(go, lambda share: {"layer": (side, degrees * smooth(share))})
        self.act(seconds, lambda share: {"layer": (side, degrees)}, "part_way", layer=layer, degrees=round(degrees, 1))

    def finish(self, side, degrees, quarters, seconds):
        """From part way on to the end of the turn, or back."""
        to = {0: 0, 1: 90, 2: 180, 3: -90}[quarters]
        layer = NAMES[self.state.colours[9 * SIDES.index(side) + 4]]
        pose = lambda share: {"layer": (side, degrees + (to - degrees) * smooth(share))}
        if quarters:
            self.act(seconds, pose, "turns", layer=layer, quarters=quarters, slip=False)
            self.become(self.state.after(side, quarters))
        else:
            self.act(seconds, pose)

    def shift(self, to, seconds):
        start = np.array(self.base.get("shift", (0.0, 0.0)))
        self.act(seconds, lambda share: {"shift": start + (np.array(to) - start) * smooth(share)})
        self.base["shift"] = tuple(to)

    def away(self, seconds, meanwhile=lambda: None):
        """Out of the picture, downwards, and back."""
        self.shift((40.0, 620.0), 0.35)
        meanwhile()
        self.act(seconds, lambda share: {}, "absences")
        self.shift((0.0, 0.0), 0.4)

    def cover(self, seconds):
        self.act(0.25, lambda share: {"cover": smooth(share)})
        self.act(seconds, lambda share: {"cover": 1.0}, "covers")
        self.act(0.25, lambda share: {"cover": 1 - smooth(share)})

    def put_down(self, seconds):
        """On the table, in sight, and picked up again."""
        self.shift((self.r.uniform(-120, 120), self.r.uniform(60, 110)), 0.5)
        self.base["sides"] = []
        self.rest(seconds)
        del self.base["sides"]
        self.shift((0.0, 0.0), 0.5)

    def regrip(self):
        self.base["grip"] = int(self.r.integers(1 << 20))
        self.act(0.3, lambda share: {"reach": 0.6 * np.sin(np.pi * share)})

    def over(self):
        """Shows the corner across."""
        way = 3 if self.room.yaw > 0 else 1
        self.rotate("R", 2, 0.5)
        self.rotate("U", way, 0.5)
        self.rest(1.3)
        return way

    def introduce(self):
        """Shows the cube by three corners with care, then holds it as the hint says."""
        self.base["sides"] = [np.pi / 2]
        self.rest(1.0)
        way = self.over()
        self.base["grip"] = 1
        for quarters in (1, 3):
            self.rotate("U", quarters, 0.5)
            self.rest(1.0)
        self.base["grip"] = 0
        self.rotate("U", 4 - way, 0.5)
        self.rotate("R", 2, 0.5)
        del self.base["sides"]
        self.rest(0.8)
        self.truth["begins"] = round(self.t, 3)

    def write(self, path, kind, fps):
        room, frames = self.room, []
        count = int(self.t * fps)
        with open(path.with_suffix(".mjpeg"), "wb") as out:
            for n in range(count):
                t = n / fps
                moments = [t] if self.at_rest(t) else [t + shutter * 0.4 / fps for shutter in (-1.0, 0.0, 1.0)]
                out.write(room.taken(t, [(at, self.pose(at)[1]) for at in moments]))
                state, pose = self.pose(t)
                side, degrees = pose.get("layer", (None, 0.0))
                frames.append({"state": state, "layer": side, "degrees": round(float(degrees), 1)})
        path.with_suffix(".json").write_text(json.dumps({"kind": kind, "fps": fps, **self.truth, "frames": frames}))

    def now(self, t):
        later = [act for act in self.acts if act[0] <= max(t, 0.0)]
        return later[-1]

    def at_rest(self, t):
        began, seconds, _, pose = self.now(t)
        first, last = pose(0.0), pose(1.0)
        return all(first.get(key) is last.get(key) or np.array_equal(first.get(key), last.get(key)) for key in first)

    def pose(self, t):
        began, seconds, state, pose = self.now(t)
        return state, pose(float(np.clip((t - began) / seconds, 0, 1)))


def layers(state, moves):
    """The turns of a route by the centres of their layers; whole-cube turns by the side they follow."""
    out = []
    for side, quarters, whole in parsed(moves):
        out.append((side if whole else int(state.colours[9 * SIDES.index(side) + 4]), quarters, whole))
        state = state.after(side, quarters, whole)
    return out


def make(film, turns, quick=(0.22, 0.42), pause=(0.2, 0.8)):
    for which, quarters, whole in turns:
        if whole:
            film.rotate(which, quarters, film.r.uniform(0.35, 0.7))
        else:
            film.turn(film.state.side_of(which), quarters, film.r.uniform(*quick))
        if pause:
            film.rest(film.r.uniform(*pause))


def turning(film, turns):
    make(film, turns)
    film.rest(1.2)


def make_some(film, turns):
    """Makes the turns before one of a layer that is drawn by lot, and gives the place of that."""
    real = [k for k, move in enumerate(turns) if not move[2]]
    at = real[film.r.integers(len(real))]
    make(film, turns[:at])
    return at


def slip(film, turns):
    r = film.r
    at = make_some(film, turns)
    meant = turns[at]
    while True:
        centre, quarters = int(r.integers(6)), int(r.choice([1, 3]))
        opposite = meant[0] == centre and quarters == (4 - meant[1]) % 4 and meant[1] != 2
        if centre != meant[0] or opposite:
            break
    film.turn(film.state.side_of(centre), quarters, r.uniform(0.22, 0.42), slip=True)
    film.rest(r.uniform(1.5, 2.2))
    film.turn(film.state.side_of(centre), 4 - quarters, r.uniform(0.25, 0.45))
    film.rest(r.uniform(0.5, 0.9))
    make(film, turns[at:])
    film.rest(1.2)


def fast(film, turns):
    at = 0
    while at < len(turns):
        count = film.r.integers(2, 5)
        make(film, turns[at : at + count], quick=(0.11, 0.18), pause=None)
        film.rest(film.r.uniform(0.6, 1.0))
        at += count
    film.rest(0.8)


def part_way(film, turns):
    r = film.r
    at = make_some(film, turns)
    centre, quarters, _ = turns[at]
    side, degrees = film.state.side_of(centre), r.uniform(10, 45) * (-1 if quarters == 3 else 1)
    film.part_way(side, degrees, r.uniform(1.5, 3.0))
    film.finish(side, degrees, quarters, 0.3)
    film.rest(0.6)
    make(film, turns[at + 1 :])
    film.rest(1.2)


def rotating(film, turns):
    r = film.r
    # Before the first turn nobody knows which side the learner looks at.
    first = 1 + next((k for k, move in enumerate(turns) if not move[2]), 0)
    half = (first + len(turns)) // 2
    make(film, turns[:first])
    for part in (turns[first:half], turns[half:]):
        film.rotate("U", int(r.choice([1, 2, 3])), r.uniform(0.4, 0.8))
        film.rest(r.uniform(0.6, 1.0))
        make(film, part)
    film.rest(1.2)


def idle(film, _):
    r = film.r
    for _ in range(6):
        what = r.integers(6)
        if what == 0:
            film.cover(r.uniform(0.4, 2.0))
        elif what == 1:
            film.put_down(r.uniform(1.0, 3.0))
        elif what == 2:
            film.regrip()
        elif what == 3:
            quarters = int(r.choice([1, 3]))
            film.rotate("U", quarters, r.uniform(0.4, 0.8))
            film.rest(r.uniform(0.4, 1.2))
            film.rotate("U", 4 - quarters, r.uniform(0.4, 0.8))
        elif what == 4:
            side, degrees = SIDES[r.integers(6)], r.uniform(-45, 45)
            film.part_way(side, degrees, r.uniform(0.3, 1.2))
            film.finish(side, degrees, 0, 0.3)
        else:
            film.shift((r.uniform(-90, 90), r.uniform(-60, 60)), r.uniform(0.2, 0.6))
        film.rest(r.uniform(0.4, 1.4))


def another(film, turns):
    make(film, turns[:3])
    other = film.other

    def swap():
        film.base["cube"] = 1
        film.become(other)

    film.away(film.r.uniform(0.8, 2.0), swap)
    film.rest(1.5)
    film.over()
    film.rest(1.0)


def solve(film, parts):
    """All of a solve, with a look before each part; `parts` are turns as the rest take them."""
    for turns in parts:
        film.rest(film.r.uniform(1.0, 3.0))
        make(film, turns, pause=(0.1, 0.5))
    film.rest(1.5)


KINDS = {f.__name__: f for f in (turning, slip, fast, part_way, rotating, idle, another, solve)}


def main():
    program, photographs, out = Program(sys.argv[1]), sys.argv[2], pathlib.Path(sys.argv[3])
    first, count = (int(word) for word in (sys.argv[4:6] + ["0", "1"][len(sys.argv[4:6]) :]))
    kinds = sys.argv[6:] or [kind for kind in KINDS if kind != "solve"]
    out.mkdir(parents=True, exist_ok=True)
    files = sorted(pathlib.Path(photographs).iterdir())
    for number in range(first, first + count):
        for kind in kinds:
            r = np.random.default_rng([number, list(KINDS).index(kind)])
            photos = [cv2.imread(str(files[k])) for k in r.integers(len(files), size=2)]
            state, moves = program.mid_solve(r)
            if kind == "solve":
                state, parts = program.scrambled(r)
            film = Film(Room(r, photos), r, state)
            if kind == "another":
                film.other, _ = program.mid_solve(r)
            film.introduce()
            turns = layers(film.state, moves)
            if kind == "solve":
                turns = [layers(done(film.state, " ".join(parts[:k])), part) for k, part in enumerate(parts)]
            KINDS[kind](film, turns)
            film.write(out / f"{kind}-{number:04}", kind, int(r.choice([10, 15, 15, 20, 30])))


if __name__ == "__main__":
    main()
