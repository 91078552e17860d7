"""Render photos, measure them through the program and compare them with their truth.

usage: accuracy.py BUILD N     print the table of N photos a grade and treatment and write it to
                               BUILD/accuracy/table.txt, its cells to cells.csv beside
The photos stay in BUILD/photos until the renderer changes.
"""

import csv
import multiprocessing.pool
import pathlib
import subprocess
import sys
import time

import delta_e
from compare import Truth, compare
from rendered import Rendered, album
from table import table_lines, values

GRADES = ("even", "ordinary", "hard")
# What the camera does to the picture, as options of the renderer; as most cameras do it first. Raw
# photos are the plain ones before the camera's matrix and curve.
TREATMENTS = {"look": ("--treatment", "look"), "phone": ("--treatment", "phone"),
              "plain": ("--treatment", "plain"), "raw": ("--treatment", "plain", "--format", "dng")}
EDITIONS = {"2014-11": "from-2014-11", "2005": "before-2014-11"}
# What `make check` renders, and the mean delta E 2000 over cells with ink that it must stay within.
BOUNDS = {("plain", "even"): 1.0, ("plain", "ordinary"): 1.5,
          ("look", "even"): 2.5, ("look", "ordinary"): 2.5}
PROCESSES = 2


class Photo:
    """One photo: rendered, measured with and without names, compared."""

    def __init__(self, build, folder, treatment, grade, number):
        self.treatment, self.grade = treatment, grade
        self.held_out = treatment in ("look", "phone") and number % 2 == 0
        self.name = "-".join([grade, *([treatment] if treatment != "plain" else []),
                              f"{number:03}"])
        self.cells, self.unreadable, self.seconds = [], 0, 0.0
        rendered = Rendered(build, folder, self.name,
                            ["--grade", grade, "--number", number, *TREATMENTS[treatment]])
        comparison, self.refused, self.misread = self.measure(build, rendered, True)
        if comparison:
            self.cells, self.unreadable = comparison.cells, comparison.unreadable
        _, self.unnamed_refused, self.unnamed_misread = self.measure(build, rendered, False)

    def measure(self, build, rendered, named):
        """The comparison if the photo was read, why it was refused, what was misread."""
        started = time.monotonic()
        result = measured(build, rendered.path, EDITIONS[Truth(rendered.truth).edition],
                          rendered.names if named else None)
        self.seconds = time.monotonic() - started if named else self.seconds
        if result.returncode:
            return None, reason_of(result.stderr, str(rendered.path)), []
        comparison = compare(rendered.truth, result.stdout, named=named)
        return comparison, "", comparison.misread


def measured(build, path, card, names=None):
    """What the program gives and says of a photo; it ends the run if it neither reads nor refuses."""
    result = run([build / "woad", "measure", "--dry-run", "--format", "json", "--card", card,
                  *(["--names", names] if names else []), path])
    if result.returncode not in (0, 4, 5):
        raise SystemExit(f"{path}: the program ended with {result.returncode}:\n{result.stderr}")
    return result


def run(words, check=False):
    return subprocess.run([str(word) for word in words], capture_output=True, text=True,
                          check=check)


def reason_of(messages, path):
    """The complaint, without the photo's name and the advice."""
    complaints = [line for line in messages.splitlines() if line.startswith("woad")]
    reason = (complaints or messages.splitlines() or ["nothing said"])[-1]
    return reason.replace(path + ": ", "").replace(path + ".jpg: ", "").removeprefix(
        "woad: ").split(";")[0]


def measure_all(build, count, kinds):
    """So many photos of each treatment and grade."""
    folder = album(build)
    tasks = [(build, folder, *kind, number) for kind in kinds for number in range(1, count + 1)]
    with multiprocessing.pool.ThreadPool(PROCESSES) as pool:
        photos = pool.starmap(Photo, tasks, chunksize=1)
    groups = {}
    for photo in photos:
        groups.setdefault((photo.treatment, photo.grade), []).append(photo)
    return groups


def write_cells(path, groups):
    rows = [{"photo": photo.name, **cell}
            for photos in groups.values() for photo in photos for cell in photo.cells]
    with open(path, "w", newline="", encoding="utf-8") as file:
        writer = csv.DictWriter(file, rows[0].keys() if rows else ["photo"])
        writer.writeheader()
        writer.writerows(rows)


def print_table(build, count):
    groups = measure_all(build, count, [(treatment, grade) for treatment in TREATMENTS
                                        for grade in GRADES])
    text = "\n".join(table_lines(groups)) + "\n"
    (build / "accuracy").mkdir(exist_ok=True)
    (build / "accuracy" / "table.txt").write_text(text, encoding="utf-8")
    write_cells(build / "accuracy" / "cells.csv", groups)
    print(text)
    seconds = sorted(photo.seconds for photos in groups.values() for photo in photos)
    print(f"{seconds[len(seconds) // 2]:.2f} s a photo, {PROCESSES} at a time")


def claims(build, count):
    """What is claimed of the photos, whether it holds, and what was seen."""
    groups = measure_all(build, count, BOUNDS)
    for group, bound in BOUNDS.items():  # of hard photos nothing is claimed; see the table
        for photo in groups[group]:
            faults = photo.misread + photo.unnamed_misread
            yield f"{photo.name} is not misread", not faults, "; ".join(faults[:3])
            yield f"{photo.name} is not refused", not photo.refused, photo.refused
        cells = [cell for photo in groups[group] for cell in photo.cells]
        mean = values(cells, "delta_e").mean() if cells else float("nan")
        yield (f"the mean delta E 2000 of the inks of {' '.join(group)} photos is at most {bound}",
               bool(mean <= bound), f"{mean:.2f} over {len(cells)} cells")


def main(words):
    delta_e.verify()
    if len(words) != 2 or not words[1].isdigit():
        raise SystemExit(__doc__)
    print_table(pathlib.Path(words[0]), int(words[1]))


if __name__ == "__main__":
    main(sys.argv[1:])
