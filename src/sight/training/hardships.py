"""Draws pictures to judge by, one hardship at a time, with their truth: python hardships.py PHOTOGRAPHS OUT [HOW MANY]

What stands behind and about comes from the photographs and drawings that training never sees. OUT gets a folder for each hardship,
truth.json, and `no-cube`: pictures of the same makers without a cube. `lab seeing --scans OUT --nothing OUT/no-cube` counts.
"""

import json
import pathlib
import sys

import cv2
import numpy as np
import torch

import scene
import sheets
import solid
import train
import webcam
from hands import Hands
from solid import FACE, Camera, Solid, turn

WHITE = np.full(3, 0.75)


def degrees(view, bend=0.0, skew=0.0):
    def change(part):
        if isinstance(part, Camera):
            part.focal = solid.WIDTH / 2 / np.tan(np.radians(view) / 2)
            part.bend, part.skew = bend, skew
    return change


def looks(**values):
    def change(part):
        if isinstance(part, Solid):
            vars(part.looks).update(values)
    return change


def cube(**values):
    def change(part):
        if isinstance(part, Solid):
            vars(part).update(values)
    return change


def hands(sides):
    def change(part):
        if isinstance(part, Hands):
            part.held, part.sides = True, sides
    return change


def layer(low, high):
    def change(part):
        if isinstance(part, Solid):
            part.angles[:] = 0
            part.angles[0] = np.radians(part.r.uniform(low, high))
    return change


def plain(part):
    """What hardships are changes of: a usual lens, a tidy cube, none in the way."""
    if isinstance(part, Camera):
        degrees(62)(part)
        part.bend2 = part.wobble = 0.0
        part.stretch = 1.0
    elif isinstance(part, Hands):
        part.held = False
    else:
        r = part.r
        part.angles = np.radians(r.normal(0, 0.5, part.size))
        part.side, part.pose = r.uniform(110, 220), ["face", "corner"][r.integers(0, 2)]
        part.looks.askew, part.looks.twist, part.looks.uneven, part.looks.wear, part.looks.fade = 0.01, 0.01, 0.0, 0.0, 0.0
        if not part.looks.stickerless:
            part.looks.half, part.looks.corner = r.uniform(0.42, 0.48), r.uniform(0.02, 0.12)


stickers = dict(stickerless=False, plastic=np.full(3, 0.01))
HARDSHIPS = {
    "plain": [],
    "lens of 90 degrees": [degrees(90)],
    "lens of 100 degrees": [degrees(100)],
    "lens of 100 degrees, barrel": [degrees(100, bend=-0.15)],
    "shutter skews by 6 %": [degrees(62, skew=0.06)],
    "shutter skews by 12 %": [degrees(62, skew=0.12)],
    "stickers of 0.68 of a cell": [looks(**stickers, half=0.34)],
    "small worn stickers on white": [looks(stickerless=False, plastic=WHITE, half=0.34, wear=0.5, askew=0.03)],
    "grooves of 0.2 mm": [looks(stickerless=True, groove=0.0105, rim=1.0, bevel=False)],
    "face of 0.78 of the height": [cube(side=0.78 * solid.HEIGHT, pose="face")],
    "cells of 11 pixels": [cube(side=33)],
    "top at 56 to 64 degrees": [cube(pose="slant")],
    "one hand below": [hands([np.pi / 2])],
    "both hands at the sides": [hands([0.0, np.pi])],
    "both hands, seen from above": [hands([0.0, np.pi]), cube(pose="low")],
    "a layer out by 4 to 8 degrees": [layer(4, 8)],
    "a layer part way": [layer(15, 75)],
    "all that training varies": None,
}


def place(self, r, camera, usual=Solid.place):
    """A pose more: the top at 56 to 64 degrees above a face seen nearly straight."""
    if self.pose != "slant":
        return usual(self, r, camera)
    self.pose = "any"
    usual(self, r, camera)
    towards = self.middle / np.linalg.norm(self.middle)
    across = np.cross([0, 0, 1.0], towards)
    facing = turn(across, np.arccos(towards[2])) if np.linalg.norm(across) > 1e-6 else np.eye(3)
    self.turned = facing @ turn([1, 0, 0], np.radians(90 - r.uniform(56, 64))) @ turn([0, 1, 0], r.uniform(-0.1, 0.1))


def face(corners, kind, covered):
    a, b, c, d = (list(map(float, p)) for p in corners)
    lattice = [[0.0, 0.0]] * 16
    lattice[0], lattice[3], lattice[15], lattice[12] = a, b, c, d
    return {"lattice": lattice, "main": kind == FACE, "occluded": [{"share": float(share)} for share in covered]}


def main(photographs, out, count=60):
    Solid.place = place
    out, count = pathlib.Path(out), int(count)
    photos = train.load(f"{photographs}/held-out")
    flats = train.load(f"{photographs}/drawn-held-out")
    setups = []
    torch.manual_seed(1)
    torch.set_num_threads(1)
    for number, (name, changes) in enumerate(HARDSHIPS.items()):
        r = np.random.default_rng([77, number])
        folder = out / name / "scan-01"
        folder.mkdir(parents=True, exist_ok=True)
        images = []
        while len(images) < count:
            def change(part):
                for one in [] if changes is None else [plain, *changes]:
                    one(part)
            try:
                picture, labels = scene.scene(r, photos, flats, 1, change)
            except (cv2.error, FloatingPointError, ZeroDivisionError):
                continue
            if changes is None:
                planes = torch.tensor(picture[None].transpose(0, 3, 1, 2).copy()).float() / 255
                picture = (webcam.taken(planes)[0][0] * 255).byte().numpy().transpose(1, 2, 0)
            faces = [face(*label) for label in labels if label[1] != solid.NONE]
            file = f"{len(images) + 1:03}.jpg"
            cv2.imwrite(str(folder / file), picture, [cv2.IMWRITE_JPEG_QUALITY, 85])
            images.append({"file": file, "view": "corner" if sum(f["main"] for f in faces) == 3 else "face", "faces": faces})
        setups.append({"setup": name, "calibration": [], "scans": [{"scan": "scan-01", "images": images}]})
        print(name, flush=True)
    (out / "truth.json").write_text(json.dumps({"setups": setups}))
    nothing = out / "no-cube"
    nothing.mkdir(exist_ok=True)
    r = np.random.default_rng(78)
    for k in range(5 * count):
        picture, _ = scene.scene(r, photos, flats, 0)
        if k % 2:
            sheets.put(r, picture, flats, whole=True)
        cv2.imwrite(str(nothing / f"{k:04}.jpg"), picture, [cv2.IMWRITE_JPEG_QUALITY, 85])


if __name__ == "__main__":
    main(*sys.argv[1:])
