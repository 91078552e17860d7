"""Real photos of colours that an instrument has read: how far the program is off, and its doubts.

usage: readings.py BUILD FOLDER     print the table of a folder and write it to
                                    BUILD/accuracy/readings.txt, its cells to readings.csv beside

A photo NAME.jpg (or another kind that the program reads) is measured if NAME.truth.csv stands beside
it: row, column, L, a, b of each cell that was read, in D50 for the 2 degree observer. NAME.card.txt,
CGATS, holds the card's own values; without it the card is taken for one from November 2014 on. The
truth of a rendered photo is understood as well.
"""

import csv
import json
import pathlib
import sys

import numpy

import delta_e
from accuracy import EDITIONS, measured, reason_of
from compare import cell_error
from table import held_counts, lines_of_bands, text_of_held, values

PHOTOS = {".jpg", ".jpeg", ".png", ".tif", ".tiff", ".heic", ".heif", ".dng", ".nef", ".cr2", ".cr3",
          ".arw", ".raf", ".rw2", ".orf"}
HEAD = (f"{'':24}{'cells':>6}{'unread':>7}{'card':>6}{'mean':>6}{'95th':>6}{'worst':>6}"
        f"{'held, %':>9}{'from     to':>14}{'u95':>6}")


class Reading:
    """One photo of the folder against what the instrument says."""

    def __init__(self, build, path):
        self.name, self.cells, self.unread, self.left_out = path.name, [], 0, None
        self.true, edition = truth_of(path.with_suffix(".truth.csv"))
        card = path.with_suffix(".card.txt")
        result = measured(build, path, card if card.exists() else edition)
        self.refused = reason_of(result.stderr, str(path)) if result.returncode else ""
        if not result.returncode:
            self.compare(json.loads(result.stdout)["photos"][0])

    def compare(self, photo):
        size = tuple(max(place[axis] for place in self.true) for axis in (0, 1))
        chart = photo["chart"]
        if chart["rows"] < size[0] or chart["columns"] < size[1]:
            self.refused = (f"{chart['rows']} x {chart['columns']} cells were found, "
                            f"{size[0]} x {size[1]} have been read")
            return
        self.left_out = photo["card"]["left_out_mean"]
        for reading in photo["readings"]:
            cell = self.true.get((reading["row"], reading["column"]))
            if cell and reading.get("L") is None:
                self.unread += 1
            elif cell:
                self.cells.append(cell_error(cell, reading))


def truth_of(path):
    """Each cell with a true colour by row and column, and the edition of a rendered card."""
    with open(path, newline="", encoding="utf-8-sig") as file:
        rows = list(csv.DictReader(file))
    if "item" in rows[0]:
        cells = [row for row in rows if row["item"] == "cell" and row["kind"] == "ink"]
        edition = EDITIONS[rows[0]["kind"]]
    else:
        cells, edition = rows, "from-2014-11"
    return {(int(row["row"]), int(row["column"])): {"name": "", **row} for row in cells}, edition


def photos_of(folder):
    return sorted(path for path in folder.iterdir() if path.suffix.lower() in PHOTOS
                  and path.with_suffix(".truth.csv").exists())


def line_of(label, photos):
    cells = [cell for photo in photos for cell in photo.cells]
    if not cells:
        return f"{label:24}" + "; ".join(photo.refused for photo in photos)
    errors = values(cells, "delta_e")
    left_out = [photo.left_out for photo in photos if photo.left_out is not None]
    radii = [cell["u95"] for cell in cells if cell["u95"] is not None]
    return (f"{label:24}{len(cells):6}{sum(photo.unread for photo in photos):7}"
            f"{numpy.mean(left_out):6.2f}{errors.mean():6.2f}{numpy.percentile(errors, 95):6.2f}"
            f"{errors.max():6.1f}{text_of_held(photos)}"
            + (f"{numpy.median(radii):6.2f}" if radii else f"{'-':>6}"))


def table_lines(photos):
    """A line a photo, then all together and by colour."""
    lines = ["Photos measured by the program against an instrument's readings: cells, cells unread, how",
             "far the card's patches are foretold from one another, errors in delta E 2000, the share",
             "within u95 with the interval that resampling photos gives, and the median u95.", "", HEAD]
    lines += [line_of(photo.name[:23], [photo]) for photo in photos]
    lines += [line_of("all", photos)] * (len(photos) > 1)
    open_cells = sum(1 for photo in photos for cell in photo.cells if cell["u95"] is None)
    promised, held = held_counts([cell for photo in photos for cell in photo.cells])
    lines += ["", f"{held} of {promised} promised cells are within u95, {open_cells} are not promised, "
              f"{sum(bool(photo.refused) for photo in photos)} of {len(photos)} photos were refused"]
    return lines + ["", *lines_of_bands(photos)]


def write_cells(path, photos):
    rows = [{"photo": photo.name, **cell} for photo in photos for cell in photo.cells]
    with open(path, "w", newline="", encoding="utf-8") as file:
        writer = csv.DictWriter(file, rows[0].keys() if rows else ["photo"])
        writer.writeheader()
        writer.writerows(rows)


def claims(build, rendered):
    """A folder of rendered photos comes out as their own comparison does."""
    folder = build / "accuracy" / "readings"
    folder.mkdir(parents=True, exist_ok=True)
    for old in folder.iterdir():
        old.unlink()
    for photo in rendered:
        (folder / photo.path.name).symlink_to(photo.path.resolve())
        (folder / photo.truth.name).symlink_to(photo.truth.resolve())
    photos = [Reading(build, path) for path in photos_of(folder)]
    cells = [cell for photo in photos for cell in photo.cells]
    mean = values(cells, "delta_e").mean() if cells else float("nan")
    yield ("a folder of photos with their truth beside is read whole",
           len(photos) == len(rendered) and not any(photo.refused for photo in photos),
           f"{len(photos)} photos")
    yield "its table has a line for each and one for all", \
        len([line for line in table_lines(photos) if ".jpg" in line or line[:4] == "all "]) \
        >= len(photos) + (len(photos) > 1), ""
    yield "its mean error is that of a good photo", bool(mean < 1.5), f"{mean:.2f}"


def main(words):
    delta_e.verify()
    if len(words) != 2 or not pathlib.Path(words[1]).is_dir():
        raise SystemExit(__doc__)
    build, folder = (pathlib.Path(word) for word in words)
    photos = [Reading(build, path) for path in photos_of(folder)]
    if not photos:
        raise SystemExit(f"{folder} holds no photo with NAME.truth.csv beside")
    text = "\n".join(table_lines(photos)) + "\n"
    (build / "accuracy").mkdir(parents=True, exist_ok=True)
    (build / "accuracy" / "readings.txt").write_text(text, encoding="utf-8")
    write_cells(build / "accuracy" / "readings.csv", photos)
    print(text)


if __name__ == "__main__":
    main(sys.argv[1:])
