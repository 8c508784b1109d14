"""How long two well-known detectors take on one core, to hold the finder's time against.

Neither finds a cube; they do work of the same kind on pictures of the same size:

* AprilTag 3 (Wang and Olson 2016), by the PyPI package pupil-apriltags: finds one printed tag, family tag36h11;
* OpenCV: adaptiveThreshold, findContours and approxPolyDP, the usual first steps towards squares.

The pictures are the carried scans, each with a tag put into a corner, at 1280x720. CPU time of this process is
measured, so that a busy machine does not count, and so are the tags found and the squares, so that a fast failure shows.

    python -m venv venv && venv/bin/pip install opencv-python-headless pupil-apriltags
    venv/bin/python tests/yardsticks/finding.py target/criterion

The last word is optional: the folder in which `cargo bench --bench sight` has left its figures, which are then printed too.
"""

import json
import statistics
import sys
import time
from pathlib import Path

import cv2
from pupil_apriltags import Detector

SCANS = Path(__file__).parents[2] / "test_images" / "scans"
ROUNDS = 5


def with_tag(picture):
    """The picture at 1280x720 with a tag of 160 pixels in its top left corner, on white paper."""
    grey = cv2.cvtColor(cv2.resize(picture, (1280, 720)), cv2.COLOR_BGR2GRAY)
    tags = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_APRILTAG_36h11)
    tag = cv2.aruco.generateImageMarker(tags, 7, 160)
    grey[20:220, 20:220] = 235
    grey[40:200, 40:200] = tag
    return grey


def squares(grey):
    binary = cv2.adaptiveThreshold(grey, 255, cv2.ADAPTIVE_THRESH_MEAN_C, cv2.THRESH_BINARY, 23, 7)
    contours, _ = cv2.findContours(binary, cv2.RETR_LIST, cv2.CHAIN_APPROX_SIMPLE)
    count = 0
    for contour in contours:
        if cv2.contourArea(contour) > 200:
            shape = cv2.approxPolyDP(contour, 0.04 * cv2.arcLength(contour, True), True)
            count += len(shape) == 4 and cv2.isContourConvex(shape)
    return count


def measure(name, work, pictures):
    times, found = [], 0
    for picture in pictures:
        rounds = []
        for _ in range(ROUNDS):
            start = time.process_time()
            count = work(picture)
            rounds.append((time.process_time() - start) * 1e3)
        times.append(statistics.median(rounds))
        found += count
    times.sort()
    print(f"{name:44} {statistics.median(times):6.1f} ms median {times[int(0.95 * (len(times) - 1))]:6.1f} ms 95 %"
          f"   {found} found in {len(pictures)} pictures")


def ours(folder):
    for file in sorted(Path(folder).glob("find and sample*/new/estimates.json")):
        median = json.loads(file.read_text())["median"]["point_estimate"] / 1e6
        print(f"{file.parent.parent.name:60} {median:6.2f} ms median")


def main():
    cv2.setNumThreads(1)
    files = sorted(SCANS.glob("*/scan-*/*.jpg"))
    pictures = [with_tag(cv2.imread(str(file))) for file in files]
    for decimate in (1.0, 2.0):
        detector = Detector(families="tag36h11", nthreads=1, quad_decimate=decimate)
        measure(f"AprilTag 3, quad_decimate {decimate:.0f}",
                lambda grey: sum(tag.tag_id == 7 for tag in detector.detect(grey)), pictures)
    measure("OpenCV threshold, contours, polygons", squares, pictures)
    if len(sys.argv) > 1:
        ours(sys.argv[1])


main()
