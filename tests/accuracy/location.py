"""Render the location set, and see whether the program finds card and chart where they are.

usage: location.py BUILD N     N photos a grade; the table goes to BUILD/location/location.txt
With KEEP=1 in the environment the photos stay in BUILD/location.
"""

import json
import multiprocessing.pool
import os
import pathlib
import re
import sys

from accuracy import EDITIONS, GRADES, PROCESSES, reason_of, run
from location_compare import LocationTruth, card_faults, locate, outlines_against
from location_table import table_lines

TO_BE_REFUSED = {"card-missing": "card", "chart-missing": "chart", "mirrored": "mirror"}
SIZED = ("card-small", "megapixel", "many-megapixels")
REFUSALS = (4, 5)


class Outcome:
    """What one run of the program came to: "right", "refused" or "misread", and why."""

    def __init__(self, kind, why="", located=None, said=""):
        self.kind, self.why, self.located, self.said = kind, why, located, said


class LocatedPhoto:
    """One photo of the set: rendered, read with and without names, judged, removed."""

    def __init__(self, build, folder, name, render):
        self.name, self.path = name, folder / name
        run(render, check=True)
        self.truths = [LocationTruth(self.file(".truth.csv"), which) for which in ("", "second_")]
        self.truths = [truth for truth in self.truths if truth.cells] or self.truths[:1]
        self.grade, self.item = self.truths[0].grade, self.truths[0].item
        self.corners, self.inside = {True: [], False: []}, []
        self.named = self.outcome(build, named=True) if self.names_can_be_laid() else None
        self.unnamed = self.every_chart(build) if len(self.truths) > 1 else self.outcome(build)
        if not os.environ.get("KEEP"):
            for file in folder.glob(name + ".*"):
                file.unlink()

    def file(self, ending):
        return self.path.with_name(self.name + ending)

    def names_can_be_laid(self):
        """Upright they can; else the blanks must tell how the sheet lies."""
        first = self.truths[0]
        return bool(first.cells) and (0 in first.turns_upright() and len(first.turns_upright()) == 1
                                      or first.blanks_tell_its_turn())

    def every_chart(self, build):
        """The worst of reading each chart by its number; each number must give another chart."""
        outcomes = [self.outcome(build, options=["--which", number + 1])
                    for number in range(len(self.truths))]
        read = {outcome.located.truth.which for outcome in outcomes if outcome.located}
        worst = max(outcomes, key=lambda outcome: ("right", "refused", "misread").index(outcome.kind))
        if worst.kind == "right" and len(read) < len(self.truths):
            return Outcome("misread", "the same chart by every number", said=worst.said)
        return worst

    def outcome(self, build, named=False, options=()):
        names = ["--names", self.file(".names.csv")] if named else []
        result = run([build / "woad", "measure", "--dry-run", "--format", "json", "--card",
                      EDITIONS[self.truths[0].edition], *names, *options, self.file(".jpg")])
        said = result.stderr.replace(str(self.path), "")
        if result.returncode not in (0, *REFUSALS):
            return Outcome("misread", f"the program ended with {result.returncode}: "
                           + result.stderr.strip()[-200:])
        if result.returncode:
            return self.refusal(reason_of(result.stderr, str(self.path)), said)
        if self.item in TO_BE_REFUSED:
            return Outcome("misread", "read, but there is nothing to be read")
        return self.reading(build, json.loads(result.stdout)["photos"][0], named, said)

    def refusal(self, reason, said):
        if self.item not in TO_BE_REFUSED:
            return Outcome("refused", reason, said=said)
        if TO_BE_REFUSED[self.item] not in reason:
            return Outcome("refused", "for another reason than it should: " + reason, said=said)
        return Outcome("right", reason, said=said)

    def reading(self, build, measured, named, said):
        located = locate(self.truths, measured, named)
        faults = card_faults(self.truths[0], measured["card"]["corners"]) + located.faults
        if faults:
            return Outcome("misread", "; ".join(faults[:2]), located, said)
        if named or not self.inside:
            self.look_at_outlines(build, located.truth, named)
        return Outcome("right", "", located, said)

    def look_at_outlines(self, build, truth, named):
        hints = [truth.rows, truth.columns, truth.pattern()] if named else []
        lines = run([build / "cell_outlines", self.file(".jpg"), EDITIONS[truth.edition], *hints])
        self.corners, self.inside = outlines_against(truth, lines.stdout.splitlines())


def photo_of_set(build, folder, grade, number):
    """The set names its photos by item too, so it is rendered in a folder of its own first."""
    item = items_of(build)[(number - 1) % len(items_of(build))]
    return LocatedPhoto(build, folder, f"{grade}-{number:03}-{item}",
                        [build / "scene", "location", folder, "--grade", grade, "--first",
                         str(number), "--count", "1"])


def items_of(build):
    """The list that the set goes round, as the renderer prints it."""
    lines = run([build / "scene", "--help"]).stdout.splitlines()
    start = next(i for i, line in enumerate(lines) if line.split()[:1] == ["--item"])
    items = []
    for line in lines[start + 1:]:
        if line.split()[0].startswith("--"):
            return items
        items.append(line.strip())
    return items


def all_photos(build, count):
    folder = build / "location"
    folder.mkdir(parents=True, exist_ok=True)
    tasks = [(build, folder, grade, number)
             for number in range(1, count + 1) for grade in GRADES]
    with multiprocessing.pool.ThreadPool(PROCESSES) as pool:
        return pool.starmap(photo_of_set, tasks, chunksize=1)


# --- the checks that `make check` runs -------------------------------------------------------

CHECKED_GRADE = "ordinary"
MUST_SAY = {"covered": "patches without the card's colour",
            "two-cards": "a second card",
            "two-charts": "shows 2 charts",
            "card-faded": "faded|print",
            "card-glossy": "faded|print"}


def checked_photo(build, folder, number, item):
    size = [] if item in SIZED else ["--width", "1280", "--height", "960"]
    name = f"check-{item}"
    return LocatedPhoto(build, folder, name,
                        [build / "scene", "plain", folder / name, "--grade", CHECKED_GRADE,
                         "--number", str(number), "--item", item, *size])


def claims(build):
    """A photo for each item: found, or refused where it must be, with and without names."""
    folder = build / "location"
    folder.mkdir(parents=True, exist_ok=True)
    tasks = [(build, folder, number, item) for number, item in enumerate(items_of(build), 1)]
    with multiprocessing.pool.ThreadPool(PROCESSES) as pool:
        photos = pool.starmap(checked_photo, tasks, chunksize=1)
    for photo in photos:
        outcomes = [outcome for outcome in (photo.named, photo.unnamed) if outcome]
        wrong = [f"{outcome.kind}: {outcome.why}" for outcome in outcomes
                 if outcome.kind != "right"]
        yield f"the photo with {photo.item} is told right", not wrong, "; ".join(wrong)
        if photo.item in MUST_SAY:
            yield (f"what is odd about {photo.item} is said",
                   bool(re.search(MUST_SAY[photo.item], photo.unnamed.said)), "")


def main(words):
    if len(words) != 2 or not words[1].isdigit():
        raise SystemExit(__doc__)
    build = pathlib.Path(words[0])
    text = "\n".join(table_lines(all_photos(build, int(words[1])))) + "\n"
    (build / "location" / "location.txt").write_text(text, encoding="utf-8")
    print(text)


if __name__ == "__main__":
    main(sys.argv[1:])
