"""The same ink measured again: rendered charts that dry, and rendered batches, with their truth.

usage: again.py BUILD N     print the table of N series a grade and write it to
                            BUILD/accuracy/again.txt

Every step is the program's, as a user would take it. A chart is photographed six times while it
dries with a time constant of 20 minutes (of the ink's density: its colour follows nearly so); every
fourth cell was dry long before and has no part in the figures. Two sheets of the same inks, every
third from a weaker or stronger pad, are photographed apart, in two lights; and both batches of six
inks stand in one photo.
"""

import csv
import json
import math
import multiprocessing.pool
import pathlib
import sys
import tempfile

from accuracy import run
from delta_e import delta_e_2000

GRADES = ("even", "ordinary")
PROCESSES = 2
TAU_MINUTES = 20.0
MINUTES = (2, 8, 16, 32, 64, 150)
TOLERANCE = 1.8
KINDS = ("dry", "two", "one", "same")
# Delta E 2000 at most. The goals are 0.3 in one light and 1.0 in two; in a photo of 2 megapixels the
# grain of an ordinary photo keeps the first out of reach.
SAME_MEDIAN = {"2 megapixels": {"even": {"again": 0.3, "other": 1.0},
                                "ordinary": {"again": 0.45, "other": 1.0}},
               "12 megapixels": {"even": {"again": 0.3, "other": 1.0},
                                 "ordinary": {"again": 0.3, "other": 1.0}}}
PAINTS = ("--palette", "all", "--edition", "2014-11")
SIZES = {"2 megapixels": ("--width", "1600", "--height", "1200"),
         "12 megapixels": ("--width", "4000", "--height", "3000")}
SMALL = SIZES["2 megapixels"]


def colours(path):
    """The true Lab of each cell by row and column, and its ink."""
    with open(path, newline="", encoding="utf-8") as file:
        rows = [row for row in csv.DictReader(file) if row["item"] == "cell"]
    return {(int(row["row"]), int(row["column"])):
            (row["name"], [float(row[channel]) for channel in "Lab"])
            for row in rows if row["kind"] == "ink"}


def delta_e(first, second):
    return float(delta_e_2000(first, second))


def number(text):
    return float(text) if text else math.nan


class Series:
    """A folder with an inventory of its own, and what is rendered and run in it."""

    def __init__(self, build, folder, grade, seed):
        self.build, self.folder, self.seed = build, pathlib.Path(folder), seed
        self.plan = ("--grade", grade, "--number", str(seed))

    def render(self, name, *options):
        run([self.build / "scene", "plain", self.folder / name, *self.plan, *PAINTS, *SMALL,
             *options],
            check=True)
        return colours(self.folder / f"{name}.truth.csv")

    def woad(self, command, *words):
        """Its standard output; None if it refused a photo."""
        result = run([self.build / "woad", command, *words, "--inventory",
                      self.folder / "inventory.db"])
        if result.returncode not in (0, 4, 5):
            raise SystemExit(f"woad {command} ended with {result.returncode}:\n{result.stderr}")
        return None if result.returncode else result.stdout

    def names(self, name, change):
        """The names of a rendered sheet, each changed by its place."""
        with open(self.folder / f"{name}.names.csv", newline="", encoding="utf-8") as file:
            rows = list(csv.reader(file))
        path = self.folder / f"{name}.changed.csv"
        with open(path, "w", newline="", encoding="utf-8") as file:
            csv.writer(file).writerows(
                [[change(field, row * len(fields) + column, column) if field else ""
                  for column, field in enumerate(fields)] for row, fields in enumerate(rows)])
        return path


# --- drying -------------------------------------------------------------------------------------


def drying(series):
    """The fits of one chart, each with what is true of it."""
    sheet = ("--rows", "4", "--columns", "5", "--sheet-seed", str(700 + series.seed))
    dry = series.render("dry", *sheet, "--wet", "0")
    wet = series.render("wet", *sheet, "--wet", "1")
    names = series.names("dry", lambda ink, cell, _: ink + (
        " @ 2026-05-01 09:00 Z" if cell % 4 == 3 else " @ 2026-05-03 10:00 Z"))
    true = {0: wet}
    for minute in MINUTES:
        true[minute] = series.render(f"t{minute}", *sheet, "--wet",
                                     str(math.exp(-minute / TAU_MINUTES)), "--seed", str(minute))
        series.woad("measure", series.folder / f"t{minute}.jpg", "--names", names, "--chart",
                    "spring", "--at", f"2026-05-03 {10 + minute // 60}:{minute % 60:02} Z")
    fits = json.loads(series.woad("drying", "--chart", "spring", "--format", "json"))
    return [drying_fact(fit, [(minute, delta_e(there[cell_of(fit)][1], dry[cell_of(fit)][1]))
                              for minute, there in true.items()],
                        dry[cell_of(fit)][1][0] - wet[cell_of(fit)][1][0])
            for fit in fits if not is_control(fit)]


def cell_of(fit):
    return ord(fit["cell"][0]) - ord("A") + 1, int(fit["cell"][1:])


def is_control(fit):
    row, column = cell_of(fit)
    return ((row - 1) * 5 + column - 1) % 4 == 3


def within(path, noise):
    """When the distance from dry, told at some minutes, shrinks to the noise: it does so nearly
    exponentially in between."""
    for (minute, distance), (later, less) in zip(path, path[1:]):
        if less <= noise < distance:
            share = math.log(distance / noise) / math.log(distance / max(less, 1e-6))
            return minute + (later - minute) * share
    return 0.0 if path[0][1] <= noise else math.inf


def drying_fact(fit, path, lighter):
    moved, curve = path[0][1], fit["tau_minutes"] is not None
    low, high, sure = fit["settled_low"], fit["settled_high"], fit["settled_high"] is not None
    settled = within(path, fit["noise"]) if curve else math.nan
    return {"moved": moved, "curve": curve, "lighter": lighter, "change": fit["difference"] or "",
            "moved held": curve and fit["delta_e_low"] <= moved <= (fit["delta_e_high"] or math.inf),
            "settled held": curve and low <= settled <= (high if sure else math.inf),
            "sure": sure, "dry by then": sure and settled <= high}


# --- batches ------------------------------------------------------------------------------------


def verdict_fact(row, changed, true):
    return {"changed": changed, "true": true, "verdict": row["verdict"],
            "held": number(row["delta_e_low"]) <= true <= number(row["delta_e_high"]),
            "false": not changed and number(row["chance"]) < 0.05,
            "wrong": (row["verdict"] == "different" and true < TOLERANCE)
                     or (row["verdict"] == "same" and true > TOLERANCE)}


def two_photos(series):
    """The verdicts over two sheets of the same inks in two photos."""
    sheet = ("--rows", "6", "--columns", "5", "--sheet-seed", str(800 + series.seed))
    old = series.render("old", *sheet, "--seed", "1")
    new = series.render("new", *sheet, "--seed", "2", "--batch", "7")
    printed = series.woad("compare", series.folder / "old.jpg", series.folder / "new.jpg",
                          "--names", series.folder / "old.names.csv", "--format", "csv")
    true = {ink: (((row - 1) * 5 + column - 1) % 3 == 0, delta_e(lab, new[row, column][1]))
            for (row, column), (ink, lab) in old.items()}
    return [verdict_fact(row, *true[row["ink"]])
            for row in csv.DictReader((printed or "").splitlines())
            if row["verdict"] != "missing"]


def one_photo(series):
    """The verdicts over six inks of two batches in one photo: what is true is the mean of its
    swatches for a changed ink, and nothing for one that is not."""
    both = series.render("both", "--rows", "6", "--columns", "8", "--repeats", "8", "--blank", "0",
                         "--batch", "5", "--sheet-seed", str(900 + series.seed))
    names = series.names("both", lambda ink, _, column: f"{ink} [{'old' if column < 4 else 'new'}]")
    if not series.woad("measure", series.folder / "both.jpg", "--names", names):
        return []
    printed = series.woad("compare", "--batch", "old", "--batch", "new", "--format", "csv")
    rows = {row["ink"]: row for row in csv.DictReader(printed.splitlines())}
    facts = []
    for line in range(1, 7):
        sides = [[both[line, column][1] for column in columns]
                 for columns in (range(1, 5), range(5, 9))]
        means = [[sum(axis) / len(axis) for axis in zip(*side)] for side in sides]
        changed = line % 3 == 1
        if both[line, 1][0] in rows:  # of an ink whose cells can't be read nothing is said
            facts.append(verdict_fact(rows[both[line, 1][0]], changed,
                                      delta_e(*means) if changed else 0.0))
    return facts


# --- the same sheet again -----------------------------------------------------------------------


def same_sheet(series):
    """How far apart a sheet's readings are in two photos in one light, and in two lights."""
    return [fact for size in SIZES for fact in same_sheet_at(series, size)]


def same_sheet_at(series, size):
    sheet = ("--rows", "6", "--columns", "6", "--sheet-seed", str(1000 + series.seed))
    photos = {"first": ("--seed", "1", "--kelvin", "5300"),
              "again": ("--seed", "2", "--kelvin", "5300"),
              "other": ("--seed", "3", "--kelvin", "7300")}
    read = {}
    for name, light in photos.items():
        series.render(name, *SIZES[size], *sheet, *light)
        printed = series.woad("measure", "--dry-run", series.folder / f"{name}.jpg", "--names",
                              series.folder / f"{name}.names.csv", "--format", "json")
        readings = json.loads(printed)["photos"][0]["readings"] if printed else []
        read[name] = {(reading["row"], reading["column"]): [reading[channel] for channel in "Lab"]
                      for reading in readings if reading["found"] == "ink"}
    return [{"size": size, **{other: delta_e(read["first"][cell], read[other][cell])
                              for other in ("again", "other")}}
            for cell in read["first"] if cell in read["again"] and cell in read["other"]]


# --- all ----------------------------------------------------------------------------------------


def facts_of(build, grade, seed):
    with tempfile.TemporaryDirectory(dir=build / "accuracy", prefix=f"again-{grade}-{seed}-") as folder:
        series = Series(build, folder, grade, seed)
        return {"dry": drying(series), "two": two_photos(series), "one": one_photo(series),
                "same": same_sheet(series)}


def measure_all(build, count):
    (build / "accuracy").mkdir(parents=True, exist_ok=True)
    tasks = [(build, grade, seed) for grade in GRADES for seed in range(1, count + 1)]
    with multiprocessing.pool.ThreadPool(PROCESSES) as pool:
        found = pool.starmap(facts_of, tasks, chunksize=1)
    return {grade: {kind: [fact for task, facts in zip(tasks, found) if task[1] == grade
                           for fact in facts[kind]] for kind in KINDS}
            for grade in GRADES}


def part(facts, holds):
    """The part of some facts for which something holds, in per cent, and of how many."""
    facts = list(facts)
    if not facts:
        return "       -"
    return f"{100 * sum(bool(holds(fact)) for fact in facts) / len(facts):5.1f} {len(facts):4}"


def drying_lines(found):
    yield "A chart read six times while it dries."
    yield f"{'':38} {'even':>10} {'ordinary':>12}"
    bands = (("3 and more", 3, math.inf), ("1 to 3", 1, 3), ("less than 1", 0, 1))
    for words, low, high in bands:
        yield line(f"moved {words}: a curve found, %",
                   [part((fact for fact in found[grade]["dry"] if low <= fact["moved"] < high),
                         lambda fact: fact["curve"]) for grade in GRADES])
    for words, key in (("delta E moved held, %", "moved held"), ("time of settling held, %", "settled held")):
        yield line(words, [part((fact for fact in found[grade]["dry"]
                                 if fact["curve"] and fact["moved"] >= 1),
                                lambda fact, key=key: fact[key]) for grade in GRADES])
    yield line("surely dry: it was, %",
               [part((fact for fact in found[grade]["dry"] if fact["sure"]),
                     lambda fact: fact["dry by then"]) for grade in GRADES])
    yield line("said to grow lighter: it did, %",
               [part((fact for fact in found[grade]["dry"] if "lighter" in fact["change"]),
                     lambda fact: fact["lighter"] > 0) for grade in GRADES])


def batch_lines(found):
    for kind, words in (("two", "Two sheets in two photos, a swatch of an ink on each."),
                        ("one", "Both batches in one photo, four swatches of each.")):
        yield ""
        yield words
        yield f"{'':38} {'even':>10} {'ordinary':>12}"
        for name, pick, holds in (
                ("changed by 3 and more: different, %", lambda fact: fact["true"] >= 3,
                 lambda fact: fact["verdict"] == "different"),
                ("unchanged: same, %", lambda fact: not fact["changed"],
                 lambda fact: fact["verdict"] == "same"),
                ("unchanged: seen to differ, %", lambda fact: not fact["changed"],
                 lambda fact: fact["false"]),
                ("same or different: wrong, %", lambda fact: fact["verdict"] != "cannot tell",
                 lambda fact: fact["wrong"]),
                ("delta E of the changed held, %", lambda fact: fact["changed"],
                 lambda fact: fact["held"])):
            yield line(name, [part(filter(pick, found[grade][kind]), holds) for grade in GRADES])


def same_lines(found):
    yield ""
    yield "The same sheet in two photos, delta E 2000 between its readings."
    yield f"{'':38} {'even':>10} {'ordinary':>12}"
    for size in SIZES:
        for other, words in (("again", "same light"), ("other", "5300 and 7300 K")):
            for name, share in (("median", 0.5), ("95th", 0.95)):
                apart = [sorted_apart(found[grade]["same"], size, other) for grade in GRADES]
                yield line(f"{size}, {words}, {name}",
                           [f"{quantile(values, share):5.2f}     " for values in apart])


def sorted_apart(facts, size, other):
    return sorted(fact[other] for fact in facts if fact["size"] == size)


def quantile(ordered, share):
    return ordered[int(share * (len(ordered) - 1) + 0.5)]


def line(words, parts):
    return f"{words:38} " + "   ".join(parts)


def claims(build, count):
    """What is claimed of the series, whether it holds, and what was seen."""
    found = measure_all(build, count)
    for grade in GRADES:
        moved = [fact for fact in found[grade]["dry"] if fact["moved"] >= 4]
        unseen = [fact for fact in moved if not fact["curve"]]
        yield (f"swatches of the {grade} series that move by 4 are seen to dry",
               moved and not unseen, f"{len(unseen)} of {len(moved)} are not")
        early = [fact for fact in moved if fact["sure"] and not fact["dry by then"]]
        yield (f"swatches of the {grade} series are dry when they surely are",
               len(early) <= 0.1 * len(moved), f"{len(early)} of {len(moved)} are not")
        for kind, words in (("two", "two photos"), ("one", "one photo")):
            facts = found[grade][kind]
            wrong = [fact for fact in facts if fact["wrong"]]
            told = [fact for fact in facts if fact["verdict"] != "cannot tell"]
            yield (f"no verdict over {words} of the {grade} series is wrong, and half are given",
                   not wrong and 2 * len(told) >= len(facts) > 0,
                   f"{len(wrong)} wrong, {len(told)} of {len(facts)} given")
        for other, words in (("again", "in one light"), ("other", "in two lights")):
            for size in SIZES:
                median = quantile(sorted_apart(found[grade]["same"], size, other), 0.5)
                yield (f"the {grade} sheet photographed twice {words} at {size} is read nearly "
                       "the same", median <= SAME_MEDIAN[size][grade][other],
                       f"median delta E {median:.2f}")


def main(words):
    if len(words) != 2 or not words[1].isdigit():
        raise SystemExit(__doc__)
    build = pathlib.Path(words[0])
    found = measure_all(build, int(words[1]))
    text = "\n".join([*drying_lines(found), *batch_lines(found), *same_lines(found)]) + "\n"
    (build / "accuracy" / "again.txt").write_text(text, encoding="utf-8")
    print(text)


if __name__ == "__main__":
    main(sys.argv[1:])
