"""Gathers the pictures that training needs: python photographs.py FOLDER

Photographs, which stand behind drawn cubes, go to FOLDER/seen; drawings, icons and pictures of windows, which are laid about as
papers and screens, to FOLDER/drawn-seen. Every seventh of each goes to FOLDER/held-out or FOLDER/drawn-held-out, which
training never sees. They come from Debian packages (fetched with apt-get, not installed) and from two Python packages;
see SOURCES and DRAWN for their licences.
"""

import pathlib
import subprocess
import sys
import tempfile

import cv2
import numpy as np

# Debian package: licence of its pictures, by its /usr/share/doc/PACKAGE/copyright.
SOURCES = {
    "lomiri-wallpapers-16.04": "CC-BY-SA-3.0",
    "lomiri-wallpapers-20.04": "CC-BY-SA-4.0",
    "plasma-workspace-wallpapers": "CC-BY-SA-4.0 and LGPL-3",
    "ukui-wallpapers": "GPL-3+ and CC-BY-SA-4.0",
    "gnome-backgrounds": "CC-BY-SA-3.0 and CC-BY-2.0",
    "mate-backgrounds": "CC-BY-SA-4.0 and GPL-2+",
    "opencv-doc": "Apache-2.0 (sample pictures)",
}
DRAWN = {
    "gimp-help-en": "GFDL-1.2+",
    "gnome-user-docs": "CC-BY-SA-3.0",
    "mate-user-guide": "GFDL-1.1+ and GPL-2+",
    "debian-handbook": "GPL-2+ or CC-BY-SA-3.0",
    "openclipart-png": "public domain",
}

LONGEST = 640
SMALLEST = 180
ENDINGS = {".jpg", ".jpeg", ".png", ".webp"}
# Clip art shows the very thing; a sixth of it is enough.
SHOWS_A_CUBE, ART, EVERY = ("rubik", "cube"), "openclipart", 6


def unpacked(packages, folder):
    """The pictures of Debian packages, unpacked into a folder."""
    folder.mkdir()
    for package in packages:
        subprocess.run(["apt-get", "download", package], cwd=folder, check=True, stdout=subprocess.DEVNULL)
    for deb in sorted(folder.glob("*.deb")):
        subprocess.run(["dpkg", "-x", deb, folder / deb.name.split("_")[0]], check=True)
    return sorted(p for p in folder.rglob("*") if p.suffix.lower() in ENDINGS and p.is_file())


def from_python():
    """Sample photographs of scikit-image (its data/README) and scikit-learn (CC-BY)."""
    import skimage
    import sklearn

    roots = [pathlib.Path(skimage.__file__).parent / "data", pathlib.Path(sklearn.__file__).parent / "datasets/images"]
    return sorted(p for root in roots for p in root.rglob("*") if p.suffix.lower() in ENDINGS)


def is_photograph(picture):
    """Drawings, masks and diagrams have few tones, or large parts of one."""
    grey = cv2.cvtColor(cv2.resize(picture, (128, 96)), cv2.COLOR_BGR2GRAY)
    share = cv2.calcHist([grey], [0], None, [256], [0, 256]).ravel() / grey.size
    return (share > 0.0005).sum() > 90 and share.max() < 0.25


def in_english(paths):
    """Of books in several languages one is enough, and of clip art a part."""
    paths = [p for p in paths if not any(word in p.name.lower() for word in SHOWS_A_CUBE)]
    art = [p for p in paths if ART in str(p)]
    book = [p for p in paths if "debian-handbook" in str(p)]
    others = sorted(set(paths) - set(art) - set(book))
    return art[::EVERY] + [p for p in book if "en-US" in str(p)] + others


def load(path):
    """A picture upon white, where it has holes."""
    picture = cv2.imread(str(path), cv2.IMREAD_UNCHANGED)
    if picture is None or picture.dtype != np.uint8 or picture.ndim == 2 or picture.shape[2] == 3:
        return cv2.imread(str(path), cv2.IMREAD_COLOR)
    small = min(1.0, 1000 / max(picture.shape[:2]))
    picture = cv2.resize(picture, None, fx=small, fy=small, interpolation=cv2.INTER_AREA)
    there = picture[:, :, 3:] / 255.0
    return (picture[:, :, :3] * there + 255 * (1 - there)).astype(np.uint8)


def keep(paths, to, start, smallest, longest, fits):
    """Saves what fits and is unlike all others."""
    tiny = []
    for path in paths:
        picture = load(path)
        if picture is None or min(picture.shape[:2]) < smallest or not fits(picture):
            continue
        scale = min(1.0, longest / max(picture.shape[:2]))
        picture = cv2.resize(picture, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA)
        own = cv2.resize(picture, (16, 12), interpolation=cv2.INTER_AREA).astype(float)
        # The same picture comes in several sizes.
        if tiny and (abs(np.array(tiny) - own).mean((1, 2, 3)) <= 6).any():
            continue
        tiny.append(own)
        folder = to / (start + ("held-out" if len(tiny) % 7 == 0 else "seen"))
        folder.mkdir(parents=True, exist_ok=True)
        cv2.imwrite(str(folder / f"{len(tiny):04}.jpg"), picture, [cv2.IMWRITE_JPEG_QUALITY, 84])
    print(f"{len(tiny)} pictures in {to}/{start}*")


def main(to):
    to = pathlib.Path(to)
    with tempfile.TemporaryDirectory() as folder:
        folder = pathlib.Path(folder)
        keep(unpacked(SOURCES, folder / "photographs") + from_python(), to, "", SMALLEST, LONGEST, is_photograph)
        keep(in_english(unpacked(DRAWN, folder / "drawn")), to, "drawn-", 100, 360, lambda picture: True)


if __name__ == "__main__":
    main(sys.argv[1])
