"""One measured photo against its truth: what was misread, and every cell's error."""

import copy
import csv
import json

import numpy

from delta_e import delta_e_2000


class Truth:
    """What is true of a rendered photo, as NAME.truth.csv says."""

    def __init__(self, path):
        with open(path, newline="", encoding="utf-8") as file:
            rows = list(csv.DictReader(file))
        self.edition = rows[0]["kind"]
        self.card = places(rows, "card_corner")
        self.cells = {(int(row["row"]), int(row["column"])): row
                      for row in rows if row["item"] == "cell"}
        corners = places(rows, "cell_corner").reshape(-1, 4, 2)
        self.corners = dict(zip(self.cells, corners))
        self.count()

    def count(self):
        self.rows = max(row for row, _ in self.cells)
        self.columns = max(column for _, column in self.cells)

    def without_blank_borders(self):
        """As much of the chart as can be known without names: from the first ink to the last."""
        inks = [cell for cell, row in self.cells.items() if row["kind"] == "ink"]
        first_row, first_column = (min(cell[axis] for cell in inks) for axis in (0, 1))
        last_row, last_column = (max(cell[axis] for cell in inks) for axis in (0, 1))
        rest = copy.copy(self)
        kept = {(row, column): (row - first_row + 1, column - first_column + 1)
                for row, column in self.cells
                if first_row <= row <= last_row and first_column <= column <= last_column}
        rest.cells = {new: self.cells[old] for old, new in kept.items()}
        rest.corners = {new: self.corners[old] for old, new in kept.items()}
        rest.count()
        return rest


def places(rows, item):
    return numpy.array([[float(row["x"]), float(row["y"])] for row in rows if row["item"] == item])


def card_misread(truth, corners):
    """A corner off by more than a patch: the card turned wrong, mirrored, or something else."""
    sides = numpy.linalg.norm(truth.card - numpy.roll(truth.card, -1, axis=0), axis=1)
    patch_px = min(sides[[0, 2]].min() / 6.0, sides[[1, 3]].min() / 4.0)
    distances = numpy.linalg.norm(numpy.array(corners) - truth.card, axis=1)
    return [f"card off by {distances.max() / patch_px:.1f} patches"] * bool(
        distances.max() > patch_px)


def shift_in_cells(corners, centre):
    """How far a centre lies from the middle of its cell, in its widths and heights."""
    across = (corners[1] + corners[2] - corners[0] - corners[3]) / 2.0
    down = (corners[3] + corners[2] - corners[0] - corners[1]) / 2.0
    shift = numpy.array(centre) - corners.mean(axis=0)
    return numpy.abs(numpy.linalg.solve(numpy.array([across, down]).T, shift)).max()


def chart_misread(truth, chart):
    """Rows or columns wrong, or a cell further off than half of itself."""
    if (chart["rows"], chart["columns"]) != (truth.rows, truth.columns):
        return [f"{chart['rows']} x {chart['columns']} cells instead of "
                f"{truth.rows} x {truth.columns}"]
    shifts = [shift_in_cells(truth.corners[cell], centre)
              for cell, centre in zip(truth.cells, chart["cell_centres"])]
    return [f"cells off by {max(shifts):.1f} of themselves"] * (max(shifts) > 0.5)


def cells_misread(truth, readings, named):
    """Names on wrong cells, ink taken for paper and paper taken for ink."""
    faults = []
    for reading in readings:
        cell = truth.cells[reading["row"], reading["column"]]
        place = f"row {reading['row']} column {reading['column']}"
        if named and cell["kind"] == "ink" and reading["ink"] != cell["name"]:
            faults.append(f"{reading['ink']} named where {cell['name']} is")
        if reading["found"] in ("ink", "empty") and reading["found"] != cell["kind"]:
            faults.append(f"{cell['kind']} at {place} read as {reading['found']}")
    return faults


class Comparison:
    """A photo as read: what was misread, and the cells with ink one by one."""

    def __init__(self, truth, measured, named=True):
        chart = measured["chart"]
        if not named and (chart["rows"], chart["columns"]) != (truth.rows, truth.columns):
            truth = truth.without_blank_borders()
        self.misread = (card_misread(truth, measured["card"]["corners"])
                        + chart_misread(truth, chart))
        self.seconds = measured["seconds"]
        self.cells, self.unreadable = [], 0
        if self.misread:
            return
        self.misread = cells_misread(truth, measured["readings"], named)
        for reading in measured["readings"]:
            cell = truth.cells[reading["row"], reading["column"]]
            self.unreadable += reading["found"] == "unreadable" and cell["kind"] == "ink"
            if reading["found"] == "ink" and cell["kind"] == "ink":
                self.cells.append(cell_error(cell, reading))


def promised_u95(reading):
    """The doubt of a reading; None where the program says that it promises none."""
    return None if "unpromised" in reading["flags"] else reading.get("u95")


def cell_error(cell, reading):
    true = [float(cell[channel]) for channel in "Lab"]
    read = [reading[channel] for channel in "Lab"]
    return {"row": reading["row"], "column": reading["column"], "ink": cell["name"],
            "L": true[0], "a": true[1], "b": true[2],
            "dL": read[0] - true[0], "da": read[1] - true[1], "db": read[2] - true[2],
            "delta_e": float(delta_e_2000(true, read)), "u95": promised_u95(reading),
            "unevenness": reading["unevenness"], "flags": ";".join(reading["flags"])}


def compare(truth_path, json_text, named=True):
    return Comparison(Truth(truth_path), json.loads(json_text)["photos"][0], named)
