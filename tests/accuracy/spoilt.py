"""What the program makes of photos that are spoilt on purpose, kind by kind.

usage: spoilt.py BUILD N     print the table of N photos a kind and write it to
                             BUILD/accuracy/spoilt.txt, its cells to spoilt.csv beside

Each kind changes the same N photos, every other one even and ordinary, their cameras and looks
those of the accuracy table. A spoilt photo ought to be refused, its cells not promised, or u95
still hold the truth.
"""

import collections
import csv
import multiprocessing.pool
import pathlib
import re
import subprocess
import sys

import delta_e
from accuracy import EDITIONS, PROCESSES, measured
from compare import Truth, compare
from rendered import Rendered, album
from table import held_counts, values

import numpy

FIRST = 301  # beyond the numbers of the accuracy table
GRADES = ("even", "ordinary")
WRONG_MOST = 10.0  # per cent of the cells that may be off by more than a u95 that was promised
OTHER_EDITION = {"2014-11": "2005", "2005": "2014-11"}
SAID_WIDTH = 46

# Kind: options of the renderer, changed for each photo of the kind.
KINDS = {
    "unspoilt": (),
    "card lit 30 % less": ("--card-dim", 0.30),
    "card lit 15 % less": ("--card-dim", 0.15),
    "card lit 5 % less": ("--card-dim", 0.05),
    "card lit 5 % more": ("--card-dim", -0.05),
    "card lit 15 % more": ("--card-dim", -0.15),
    "card lit 30 % more": ("--card-dim", -0.30),
    "veil of 8 % over the sheet": ("--sheet-veil", 0.08),
    "veil of 3 % over the sheet": ("--sheet-veil", 0.03),
    "veil of 8 % over the card": ("--card-veil", 0.08),
    "veil of 3 % over the card": ("--card-veil", 0.03),
    "local tone mapping, 0.40": ("--local-tone", 0.40, "--local-reach", 0.1, "--local-edge", 0.8),
    "local tone mapping, 0.25": ("--local-tone", 0.25, "--local-reach", 0.1, "--local-edge", 0.8),
    "local tone mapping, 0.15": ("--local-tone", 0.15, "--local-reach", 0.1, "--local-edge", 0.8),
    "local tone mapping, 0.10": ("--local-tone", 0.10, "--local-reach", 0.1, "--local-edge", 0.8),
    "local tone mapping, 0.05": ("--local-tone", 0.05, "--local-reach", 0.1, "--local-edge", 0.8),
    "a phone's look, twice": ("--look-part", 2.0, "--local-tone", 0.2, "--local-reach", 0.08,
                              "--local-edge", 0.8, "--sharpening", 1.5, "--halo", 3.0,
                              "--smear", 0.05),
    "a phone's look": ("--local-tone", 0.15, "--local-reach", 0.08, "--local-edge", 0.8,
                       "--sharpening", 1.2, "--halo", 2.5, "--smear", 0.04),
    "a phone's look, half": ("--look-part", 0.5, "--local-tone", 0.08, "--local-reach", 0.08,
                             "--local-edge", 0.8, "--sharpening", 0.8, "--halo", 2.0,
                             "--smear", 0.02),
    "no look at all": ("--look", 0),
    "card badly printed": ("--card-print", "glossy", "--card-wear", 1.0),
    "card mildly off in print": ("--card-print", "glossy", "--card-wear", 0.4),
    "card faded": ("--card-print", "faded", "--card-wear", 0.6),
    "card of the other edition": (),
    "greys under a slip of paper": ("--covered", 6, "--slip-row", 4),
    "shine on the card": ("--card-glares", 3),
    "shine on cells": ("--cell-glares", 4),
    "JPEG quality 10": ("--quality", 10, "--subsampling", 420),
    "JPEG quality 30": ("--quality", 30, "--subsampling", 420),
    "overexposed by 0.7 EV": ("--stops", 0.7),
    "overexposed by 0.3 EV": ("--stops", 0.3),
    "underexposed by 1.5 EV": ("--stops", -1.5),
    "underexposed by 3 EV": ("--stops", -3.0),
    "P3 taken for sRGB": ("--profile", "p3-unsaid"),
    "a copy out of a chat": ("--width", 1280, "--height", 960, "--orientation", 1),
    "a screenshot": ("--width", 1170, "--height", 877, "--format", "png8", "--orientation", 1,
                     "--profile", "none", "--dated", 0),
    "half in shadow": ("--shadow", 0.5),
    "two lights, half and half": ("--mix", 0.5),
    "paper that is grey": ("--paper", "grey"),
    "out of focus": ("--defocus", 6.0),
}


def compressed_again(path, folder):
    """The copy that a chat sends on: compressed once more, what EXIF and profile said lost."""
    copy = folder / f"{path.stem}-copy.jpg"
    if not copy.exists():
        pixels = subprocess.run(["djpeg", "-ppm", path], capture_output=True, check=True).stdout
        copy.write_bytes(subprocess.run(["cjpeg", "-quality", "55", "-sample", "2x2"],
                                        input=pixels, capture_output=True, check=True).stdout)
    return copy


class Spoilt:
    """One photo spoilt in one way: what was said, refused, promised and held."""

    def __init__(self, build, folder, kind, index):
        self.kind, self.index, self.cells, self.unreadable = kind, index, [], 0
        grade, number = GRADES[index % 2], FIRST + index // 2 + 100 * (index % 2)
        options = ["--grade", grade, "--number", str(number), "--treatment", "look",
                   "--width", "1600", "--height", "1200"]
        own = [str(word) for word in KINDS[kind]]
        rendered = Rendered(build, folder, f"{grade}-{number}", options + own)
        path = rendered.path
        if kind == "a copy out of a chat":
            path = compressed_again(path, folder)
        edition = Truth(rendered.truth).edition
        if kind == "card of the other edition":
            edition = OTHER_EDITION[edition]
        result = measured(build, path, EDITIONS[edition], rendered.names)
        self.refused, self.misread = bool(result.returncode), False
        self.said = notes(result.stderr, str(path))
        if not self.refused:
            comparison = compare(rendered.truth, result.stdout)
            self.cells, self.unreadable = comparison.cells, comparison.unreadable
            self.misread = bool(comparison.misread)


def notes(messages, path):
    """What was said, without the photo's name, its numbers and its cells, one line each."""
    lines = [line.replace(path + ": ", "").removeprefix("woad: ")
             for line in messages.splitlines()]
    numbers = r"\b[A-L][0-9]+\b(, )?|[-+]?[0-9][-+0-9.:]* ?%?"
    return {re.sub(numbers, "", line).strip() for line in lines}


def new_words(photos, unspoilt):
    """What was said of the most photos that was not said of them unspoilt, and of how many."""
    counts = collections.Counter(note for photo in photos
                                 for note in photo.said - unspoilt[photo.index].said)
    if not counts:
        return "nothing"
    note, count = counts.most_common(1)[0]
    return f"{count}: {re.split('[;(,]', note)[0].strip()}"[:SAID_WIDTH]


def line_of(kind, photos, unspoilt):
    cells = [cell for photo in photos for cell in photo.cells]
    line = (f"{kind:28}{sum(photo.refused for photo in photos):8}"
            f"{sum(photo.misread for photo in photos):8}")
    if not cells:
        return f"{line}{'-':>6}{'-':>6}{'-':>6}{'-':>7}{'-':>6}  {new_words(photos, unspoilt)}"
    promised, held = held_counts(cells)
    radii = [cell["u95"] for cell in cells if cell["u95"] is not None]
    wrong = 100.0 * (promised - held) / len(cells)
    return (f"{line}{100.0 * (1.0 - promised / len(cells)):6.0f}"
            f"{values(cells, 'delta_e').mean():6.1f}"
            + (f"{numpy.median(radii):6.1f}{100.0 * held / promised:7.0f}" if promised
               else f"{'-':>6}{'-':>7}")
            + f"{'!' if wrong > WRONG_MOST else ' ':>3}  {new_words(photos, unspoilt)}")


def table_lines(photos):
    kinds = {kind: [photo for photo in photos if photo.kind == kind] for kind in KINDS}
    count = len(kinds["unspoilt"])
    bad = sum(wrongly_stated(own) > WRONG_MOST for own in kinds.values())
    head = (f"{'':28}{'refused':>8}{'misread':>8}{'open':>6}{'mean':>6}{'u95':>6}{'held':>7}"
            f"{'':>3}  said of most photos, not of them unspoilt")
    return ([f"Rendered photos spoilt on purpose, {count} of each kind: refused, misread in silence; of",
             "their cells with ink the part, in per cent, whose u95 is not promised (open), the mean",
             "delta E 2000, the median u95 promised, and the part of those that hold the truth. A `!`",
             f"marks a kind of which more than {WRONG_MOST:.0f} % of the cells were promised and wrong.",
             "", head]
            + [line_of(kind, own, kinds["unspoilt"]) for kind, own in kinds.items()]
            + ["", f"{bad} of {len(kinds)} kinds are promised and wrong"])


def wrongly_stated(photos):
    """The part of the cells, in per cent, off by more than a u95 that was promised."""
    cells = [cell for photo in photos for cell in photo.cells]
    promised, held = held_counts(cells)
    return 100.0 * (promised - held) / len(cells) if cells else 0.0


def measure_all(build, count):
    folder = album(build)
    tasks = [(build, folder, kind, index) for index in range(count) for kind in KINDS]
    with multiprocessing.pool.ThreadPool(PROCESSES) as pool:
        return pool.starmap(Spoilt, tasks, chunksize=1)


def main(words):
    delta_e.verify()
    if len(words) != 2 or not words[1].isdigit():
        raise SystemExit(__doc__)
    build = pathlib.Path(words[0])
    photos = measure_all(build, int(words[1]))
    text = "\n".join(table_lines(photos)) + "\n"
    (build / "accuracy").mkdir(exist_ok=True)
    (build / "accuracy" / "spoilt.txt").write_text(text, encoding="utf-8")
    rows = [{"kind": photo.kind, "photo": photo.index, **cell}
            for photo in photos for cell in photo.cells]
    with open(build / "accuracy" / "spoilt.csv", "w", newline="", encoding="utf-8") as file:
        writer = csv.DictWriter(file, rows[0].keys())
        writer.writeheader()
        writer.writerows(rows)
    print(text)


if __name__ == "__main__":
    main(sys.argv[1:])
