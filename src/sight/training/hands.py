"""Hands that hold a cube."""

import cv2
import numpy as np

from solid import encoded, linear

SKIN = [(255, 219, 190), (241, 194, 160), (224, 172, 125), (198, 134, 90), (141, 85, 50), (90, 55, 40), (250, 200, 190)]


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
    """Hands that hold a cube: arms and palms behind it, thumbs and fingertips over its rim."""

    def __init__(self, r, outline, light):
        self.r = r
        self.middle = outline.mean(0)
        self.outline = outline
        self.cell = np.sqrt(cv2.contourArea(cv2.convexHull(outline.astype(np.float32))) + 1) / 4.2
        self.skin = linear(SKIN[r.integers(0, len(SKIN))]) * r.uniform(0.5, 1.1) * light.around / light.around.mean()
        self.sleeve = linear(r.integers(0, 256, 3)) * r.uniform(0.2, 1) if r.random() < 0.6 else None
        way = r.random()
        if way < 0.5:  # both at the sides, as one turns
            self.sides = [r.normal(0, 0.25), np.pi + r.normal(0, 0.25)]
        elif way < 0.68:  # one below
            self.sides = [np.pi / 2 + r.normal(0, 0.4)]
        elif way < 0.84:
            self.sides = [r.choice([0.0, np.pi]) + r.normal(0, 0.3)]
        else:
            self.sides = list(r.uniform(0, 2 * np.pi, r.integers(1, 3)))

    def rim(self, angle):
        """The point of the outline in a direction from its middle, and the way outwards."""
        d = np.array([np.cos(angle), np.sin(angle)])
        return self.middle + d * max(((self.outline - self.middle) @ d).max(), 1.0), d

    def tone(self, share):
        return encoded(np.clip(self.skin * share, 0, 1))[::-1].tolist()

    def limb(self, picture, start, end, thick, colour):
        for share, tone in ((1.0, 0.7), (0.7, 1.0), (0.35, 1.12)):
            shade = np.clip(np.array(colour) * tone, 0, 255).tolist()
            cv2.line(picture, tuple(np.round(start).astype(int)), tuple(np.round(end).astype(int)), shade, max(1, int(thick * share)), cv2.LINE_AA)

    def palms(self, picture):
        r, cell = self.r, self.cell
        for side in self.sides:
            rim, d = self.rim(side)
            palm = rim + d * r.uniform(0.8, 1.6) * cell
            wrist = palm + d * 1.5 * cell + [0, r.uniform(0, 2) * cell]
            elbow = wrist + (d * r.uniform(2, 8) + [0, r.uniform(0, 9)]) * cell
            self.limb(picture, palm, wrist, cell * r.uniform(1.8, 2.8), self.tone(0.85))
            arm = self.tone(0.8) if self.sleeve is None else encoded(self.sleeve)[::-1].tolist()
            self.limb(picture, wrist, elbow, cell * r.uniform(1.7, 3.2), arm)
            # Fingers that go behind the cube; the nearest knuckles are seen.
            count = r.integers(2, 5)
            across = np.array([-d[1], d[0]])
            for k in range(count):
                shift = across * (k - (count - 1) / 2) * r.uniform(0.6, 1.0) * cell
                knuckle = palm + shift + d * r.uniform(-0.2, 0.8) * cell
                finger(r, picture, None, knuckle, rim + shift - d * r.uniform(0, 1.5) * cell, cell * r.uniform(0.7, 1.1), self.skin * r.uniform(0.8, 1.05))

    def fingers(self, picture, mask):
        r, cell = self.r, self.cell
        for side in self.sides:
            rim, d = self.rim(side)
            across = np.array([-d[1], d[0]])
            if r.random() < 0.8:  # the thumb, towards the middle or along the rim
                reach = r.uniform(0.1, 1.1) if r.random() < 0.75 else r.uniform(0.9, 1.8)
                end = rim - d * reach * cell + across * r.normal(0, 0.7) * cell
                start = rim + (d * r.uniform(0.8, 2.2) + across * r.normal(0, 0.8)) * cell
                finger(r, picture, mask, start, end, cell * r.uniform(0.75, 1.2), self.skin)
            # Tips of neighbouring fingers, over the rim.
            first, count = r.normal(0, 0.5), r.integers(0, 5)
            for k in range(count):
                tip, out = self.rim(side + first + (k - (count - 1) / 2) * r.uniform(0.2, 0.45))
                reach = r.uniform(-0.3, 0.6) if r.random() < 0.7 else r.uniform(0.4, 1.6)
                start = tip + (out * r.uniform(0.8, 2.5) + r.normal(0, 0.4, 2)) * cell
                finger(r, picture, mask, start, tip - out * reach * cell, cell * r.uniform(0.55, 1.05), self.skin)
