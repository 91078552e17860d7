"""Render photos, measure them through the program and compare them with their truth.

usage: accuracy.py BUILD N     print the table of N photos a grade and write it to
                               BUILD/accuracy/table.txt, its cells to cells.csv beside
With KEEP=1 in the environment the photos stay in BUILD/accuracy.
"""

import csv
import multiprocessing.pool
import os
import pathlib
import subprocess
import sys
import time

import delta_e
from compare import Truth, compare
from table import table_lines, values

GRADES = ("even", "ordinary", "hard")
EDITIONS = {"2014-11": "from-2014-11", "2005": "before-2014-11"}
BOUNDS = {"even": 1.0, "ordinary": 1.5}  # delta E 2000, mean over cells with ink
PROCESSES = 2


class Photo:
    """One photo: rendered, measured with and without names, compared, removed."""

    def __init__(self, build, folder, grade, number):
        self.grade, self.name = grade, f"{grade}-{number:03}"
        self.cells, self.unreadable, self.seconds = [], 0, 0.0
        run([build / "scene", "accuracy", folder, "--grade", grade, "--first", str(number),
             "--count", "1"], check=True)
        path = folder / self.name
        self.truth_path = path.with_suffix(".truth.csv")
        names = path.with_suffix(".names.csv")
        comparison, self.refused, self.misread = self.measure(build, path, names)
        if comparison:
            self.cells, self.unreadable = comparison.cells, comparison.unreadable
        _, self.unnamed_refused, self.unnamed_misread = self.measure(build, path)
        if not os.environ.get("KEEP"):
            for rendered in (path.with_suffix(".jpg"), names, self.truth_path):
                rendered.unlink()

    def measure(self, build, path, names=None):
        """The comparison if the photo was read, why it was refused, what was misread."""
        edition = EDITIONS[Truth(self.truth_path).edition]
        started = time.monotonic()
        result = run([build / "woad", "measure", "--dry-run", "--format", "json",
                      "--card", edition, *(["--names", names] if names else []),
                      path.with_suffix(".jpg")])
        self.seconds = time.monotonic() - started if names else self.seconds
        if result.returncode not in (0, 4, 5):
            raise SystemExit(f"{self.name}: the program ended with {result.returncode}:\n"
                             f"{result.stderr}")
        if result.returncode:
            return None, reason_of(result.stderr, str(path)), []
        comparison = compare(self.truth_path, result.stdout, named=bool(names))
        return comparison, "", comparison.misread


def run(words, check=False):
    return subprocess.run([str(word) for word in words], capture_output=True, text=True,
                          check=check)


def reason_of(messages, path):
    """The complaint, without the photo's name and the advice."""
    complaints = [line for line in messages.splitlines() if line.startswith("woad")]
    reason = (complaints or messages.splitlines() or ["nothing said"])[-1]
    return reason.replace(path + ".jpg: ", "").removeprefix("woad: ").split(";")[0]


def measure_all(build, count):
    folder = build / "accuracy"
    folder.mkdir(parents=True, exist_ok=True)
    tasks = [(build, folder, grade, number)
             for grade in GRADES for number in range(1, count + 1)]
    with multiprocessing.pool.ThreadPool(PROCESSES) as pool:
        photos = pool.starmap(Photo, tasks, chunksize=1)
    return {grade: [photo for photo in photos if photo.grade == grade] for grade in GRADES}


def write_cells(path, photos_by_grade):
    rows = [{"photo": photo.name, **cell}
            for photos in photos_by_grade.values() for photo in photos for cell in photo.cells]
    with open(path, "w", newline="", encoding="utf-8") as file:
        writer = csv.DictWriter(file, rows[0].keys() if rows else ["photo"])
        writer.writeheader()
        writer.writerows(rows)


def print_table(build, count):
    photos_by_grade = measure_all(build, count)
    text = "\n".join(table_lines(photos_by_grade)) + "\n"
    (build / "accuracy" / "table.txt").write_text(text, encoding="utf-8")
    write_cells(build / "accuracy" / "cells.csv", photos_by_grade)
    print(text)
    for grade, photos in photos_by_grade.items():
        seconds = sorted(photo.seconds for photo in photos)
        print(f"{grade}: {seconds[len(seconds) // 2]:.2f} s a photo, {PROCESSES} at a time")


def claims(build, count):
    """What is claimed of the photos, whether it holds, and what was seen."""
    photos_by_grade = measure_all(build, count)
    for grade, photos in photos_by_grade.items():
        if grade not in BOUNDS:  # hard photos are reported by `make accuracy`, not claimed
            continue
        for photo in photos:
            faults = photo.misread + photo.unnamed_misread
            yield f"{photo.name} is not misread", not faults, "; ".join(faults[:3])
            yield f"{photo.name} is not refused", not photo.refused, photo.refused
    for grade, bound in BOUNDS.items():
        cells = [cell for photo in photos_by_grade[grade] for cell in photo.cells]
        mean = values(cells, "delta_e").mean() if cells else float("nan")
        yield (f"the mean delta E 2000 of the {grade} photos' inks is at most {bound}",
               bool(mean <= bound), f"{mean:.2f} over {len(cells)} cells")


def main(words):
    delta_e.verify()
    if len(words) != 2 or not words[1].isdigit():
        raise SystemExit(__doc__)
    print_table(pathlib.Path(words[0]), int(words[1]))


if __name__ == "__main__":
    main(sys.argv[1:])
