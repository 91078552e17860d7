"""Draw photos of a printed chart as it may lie before a camera, and see whether the program reads it.

usage: printed.py BUILD N     N photos a kind; the table goes to BUILD/printed/printed.txt
With KEEP=1 in the environment the photos stay in BUILD/printed. The photos are drawn, not taken.
"""

import csv
import json
import math
import multiprocessing.pool
import os
import pathlib
import random
import re
import subprocess
import sys

ROWS, COLUMNS = 5, 4
CARD = "calibration/card24-from-2014-11.txt"
CARD_LENGTH_MM = 105.12  # drawn: six patches 18 mm apart, each 15.12 mm wide
PROCESSES = 2
SCALE_WITHIN = 0.005

# What is drawn: uniform between the two, or one of several.
KINDS = {
    "from above": {"tilt": (2, 15)},
    "aslant": {"tilt": (15, 35)},
    "one mark hidden": {"tilt": (2, 25), "hide": ["0", "1", "2", "3"]},
    "two marks hidden": {"tilt": (2, 25), "hide": ["01", "12", "23", "03", "02", "13"]},
    "bent": {"tilt": (2, 25), "bend": (2, 6)},
    "bent, one mark hidden": {"tilt": (2, 25), "bend": (2, 6), "hide": ["0", "1", "2", "3"]},
    "at another size": {"tilt": (2, 25), "printed": (0.93, 0.985)},
    "tones mapped locally": {"tilt": (2, 25), "tone": (0.15, 0.15), "reach": (0.04, 0.04), "edge": (1, 1)},
}


def name_of(row, column):
    return f"Plot {row}{'abcd'[column - 1]}"


def page_of(build, folder):
    """Print the chart that all photos show, without the mark by which woad knows its own pictures."""
    with open(folder / "names.csv", "w", encoding="utf-8") as file:
        for row in range(1, ROWS + 1):
            file.write(",".join(name_of(row, column) for column in range(1, COLUMNS + 1)) + "\n")
    page, inventory = folder / "page.png", folder / "printed.db"
    inventory.unlink(missing_ok=True)
    page.unlink(missing_ok=True)
    subprocess.run([build / "woad", "sheet", "chart", page, "--page", "a5", "--names", folder / "names.csv",
                    "--inventory", inventory], check=True, stderr=subprocess.DEVNULL)
    unmark(page, b"printed page")
    return page, inventory


def unmark(path, words):
    path.write_bytes(path.read_bytes().replace(b"made by woad", words))


def settings_of(kind, number):
    chance = random.Random(f"{kind} {number}")
    settings = {"seed": 100 + number, "turns": chance.randrange(4), "spin": chance.uniform(-8, 8),
                "axis": chance.uniform(0, 360)}
    for word, values in KINDS[kind].items():
        settings[word] = chance.choice(values) if isinstance(values, list) else chance.uniform(*values)
    return settings


class Outcome:
    """What one photo came to."""

    def __init__(self, build, folder, kind, number):
        base = folder / f"{kind.replace(' ', '-').replace(',', '')}-{number}"
        photo, places = base.with_suffix(".png"), base.with_suffix(".places.csv")
        photo.unlink(missing_ok=True)
        self.settings = settings_of(kind, number)
        words = [f"{word}={value}" for word, value in self.settings.items()]
        truth = subprocess.run([build / "printed_photo", CARD, photo, f"page={folder / 'page.png'}",
                                f"places={places}", *words], check=True, capture_output=True, text=True).stdout
        unmark(photo, b"photo of it.")
        done = subprocess.run([build / "woad", "measure", photo, "--inventory", folder / "printed.db",
                               "--dry-run", "--more", "--format", "json", "--card-length", str(CARD_LENGTH_MM)],
                              capture_output=True, text=True, check=False)
        self.photo, self.said = photo.name, done.stderr
        self.read = done.returncode == 0
        self.named = self.read and self.judge(json.loads(done.stdout), truth, places)
        if not os.environ.get("KEEP"):
            photo.unlink()
            places.unlink()

    def judge(self, told, truth, places):
        chart, readings = told["photos"][0]["chart"], told["photos"][0]["readings"]
        lies = [[float(field) for field in row] for row in csv.reader(open(places, encoding="utf-8"))]
        colours = list(csv.DictReader(truth.splitlines()))
        self.off = [math.dist(seen, lie[2:4]) / lie[4] for seen, lie in zip(chart["cell_centres"], lies)]
        self.colour_off = [math.dist((reading["L"], reading["a"], reading["b"]),
                                     [float(colour[k]) for k in "Lab"])
                           for reading, colour in zip(readings, colours) if reading["found"] == "ink"]
        return len(readings) == ROWS * COLUMNS and all(
            reading["ink"] == name_of(reading["row"], reading["column"]) for reading in readings)

    def scale_said(self):
        found = re.search(r"was printed at ([0-9.]+) %", self.said)
        return float(found[1]) / 100 if found else 1.0

    def scale_right(self):
        wanted = self.settings.get("printed", 1.0)
        return abs(self.scale_said() - wanted) <= SCALE_WITHIN

    def greys_told(self):
        return "printed greys come out" in self.said


def quantile(values, share):
    values = sorted(values)
    return values[min(len(values) - 1, int(share * len(values)))] if values else float("nan")


def line_of(kind, outcomes):
    count, read = len(outcomes), [outcome for outcome in outcomes if outcome.read]
    off = [value for outcome in read for value in outcome.off]
    colour = [value for outcome in read for value in outcome.colour_off]
    return (f"{kind:22}{count:7}{len(read):7}{sum(o.named for o in outcomes):7}"
            f"{100 * quantile(off, 0.5):8.2f}{100 * quantile(off, 0.99):7.2f}"
            f"{100 * sum(value <= 0.01 for value in off) / max(len(off), 1):9.1f}"
            f"{sum(o.scale_right() for o in read):8}{sum(o.greys_told() for o in read):8}"
            f"{quantile(colour, 0.5):9.2f}{quantile(colour, 0.95):7.2f}")


def main():
    build, count = pathlib.Path(sys.argv[1]).resolve(), int(sys.argv[2])
    folder = build / "printed"
    folder.mkdir(exist_ok=True)
    page_of(build, folder)
    with multiprocessing.pool.ThreadPool(PROCESSES) as pool:
        outcomes = {kind: pool.starmap(Outcome, [(build, folder, kind, number) for number in range(count)])
                    for kind in KINDS}
    lines = ["Drawn photos of a printed chart of 20 cells, each in any quarter turn and askew; by the whole program.",
             "Cells' middles: off their place, in % of a cell's width. Scale: the print's size found to 0.5 %.",
             "Greys: told that the camera lightened what is dark. Colour: Euclidean distance in CIELAB.",
             "",
             "                                         middles off  within   scale   greys      colour off",
             "                       photos   read  named  median    99%     1 %   right    told   median    95%"]
    lines += [line_of(kind, outcomes[kind]) for kind in KINDS]
    lines.append(line_of("all", [outcome for kind in KINDS for outcome in outcomes[kind]]))
    (folder / "printed.txt").write_text("\n".join(lines) + "\n", encoding="utf-8")
    print("\n".join(lines))
    for kind in KINDS:
        for outcome in outcomes[kind]:
            if not outcome.named or not outcome.scale_right():
                print(f"{kind}: {outcome.settings}: {outcome.said.strip().splitlines()[-1:]}")


if __name__ == "__main__":
    main()
