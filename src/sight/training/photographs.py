"""Gathers the photographs that stand behind drawn cubes: python photographs.py FOLDER

They come from Debian packages (fetched with apt-get, not installed) and from two Python packages; see SOURCES for
their licences. Each is shrunk to at most 640 pixels. Every seventh goes to FOLDER/held-out, which training never sees.
"""

import pathlib
import subprocess
import sys
import tempfile

import cv2

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

LONGEST = 640
SMALLEST = 180
ENDINGS = {".jpg", ".jpeg", ".png", ".webp"}


def unpacked(packages, folder):
    """The pictures of Debian packages, unpacked into a folder."""
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


def main(to):
    to = pathlib.Path(to)
    kept = []
    with tempfile.TemporaryDirectory() as folder:
        for path in unpacked(SOURCES, pathlib.Path(folder)) + from_python():
            picture = cv2.imread(str(path), cv2.IMREAD_COLOR)
            if picture is None or min(picture.shape[:2]) < SMALLEST or not is_photograph(picture):
                continue
            scale = min(1.0, LONGEST / max(picture.shape[:2]))
            picture = cv2.resize(picture, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA)
            tiny = cv2.resize(picture, (16, 12), interpolation=cv2.INTER_AREA).astype(float)
            # The same photograph comes in several sizes.
            if all(abs(tiny - other).mean() > 6 for other in kept):
                kept.append(tiny)
                part = "held-out" if len(kept) % 7 == 0 else "seen"
                (to / part).mkdir(parents=True, exist_ok=True)
                cv2.imwrite(str(to / part / f"{len(kept):04}.jpg"), picture, [cv2.IMWRITE_JPEG_QUALITY, 88])
    print(f"{len(kept)} photographs in {to}")


if __name__ == "__main__":
    main(sys.argv[1])
