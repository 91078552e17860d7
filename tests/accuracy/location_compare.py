"""Where the program sees card and chart in one photo of the location set, against its truth."""

import copy
import csv

import numpy

from compare import Truth, cells_misread, chart_misread, places

OFF_MAX = 0.5  # of a patch: a card further off is misread
NEARLY_DIAGONAL = 35.0  # degrees off upright beyond which either way up will do
NO_TURN = 0


class LocationTruth(Truth):
    """One chart of a rendered photo; `which` is "second_" for the second."""

    def __init__(self, path, which=""):
        with open(path, newline="", encoding="utf-8") as file:
            rows = list(csv.DictReader(file))
        self.which = which
        self.grade, self.item = rows[0]["name"], rows[0]["kind"]
        self.edition = rows[1]["kind"]
        self.cards = [places(rows, item) for item in ("card_corner", "second_card_corner")
                      if any(row["item"] == item for row in rows)]
        self.cells = {cell_of(row): row for row in rows if row["item"] == which + "cell"}
        corners = places(rows, which + "cell_corner").reshape(-1, 4, 2)
        self.corners = dict(zip(self.cells, corners))
        self.outer = places(rows, which + "chart_corner")
        self.painted, self.sharp = {}, False
        for row in rows:
            if row["item"] == which + "painted":
                self.painted.setdefault(cell_of(row), []).append([float(row["x"]), float(row["y"])])
                self.sharp = row["kind"] == "sharp"
        self.painted = {cell: numpy.array(points) for cell, points in self.painted.items()}
        if self.cells:
            self.count()

    def turned(self, turns):
        """The same cells as they are counted if the sheet is taken to lie `turns` further on."""
        truth = self
        for _ in range(turns % 4):
            last = truth.rows + 1
            after = copy.copy(truth)
            place = {(row, column): (column, last - row) for row, column in truth.cells}
            for name in ("cells", "corners", "painted"):
                old = getattr(truth, name)
                setattr(after, name, {new: old[cell] for cell, new in place.items() if cell in old})
            after.corners = {cell: numpy.roll(corners, 1, axis=0)
                             for cell, corners in after.corners.items()}
            after.painted = {cell: numpy.roll(points, 1, axis=0) if len(points) == 4 else points
                             for cell, points in after.painted.items()}
            order = sorted(after.cells)
            after.cells = {cell: after.cells[cell] for cell in order}
            after.corners = {cell: after.corners[cell] for cell in order}
            after.count()
            truth = after
        return truth

    def turns_upright(self):
        """Quarter turns that count as upright in the photo: one, or two where it lies diagonally."""
        right = self.outer[1] - self.outer[0]
        degrees = numpy.degrees(numpy.arctan2(right[1], right[0]))
        nearest = int(round(degrees / 90.0))
        rest = degrees - 90.0 * nearest
        beside = [nearest + (1 if rest > 0 else -1)] * (abs(rest) > NEARLY_DIAGONAL)
        return [turns % 4 for turns in [nearest, *beside]]

    def pattern(self):
        """'1' for each cell with ink, '0' for each without, row by row."""
        return "".join("1" if row["kind"] == "ink" else "0" for row in self.cells.values())

    def blanks_tell_its_turn(self):
        """No other turn of the same shape has blanks in the same places, not even nearly."""
        def differ(other):
            return sum(a != b for a, b in zip(self.pattern(), other.pattern()))
        others = [self.turned(turns) for turns in (1, 2, 3)]
        return all(other.rows != self.rows or other.columns != self.columns or differ(other) > 3
                   for other in others[1::2] + others[::2])


def cell_of(row):
    return int(row["row"]), int(row["column"])


def card_faults(truth, corners):
    """How far off the nearest card is, if by more than half a patch."""
    if not truth.cards:
        return ["a card read where there is none"]
    off = []
    for card in truth.cards:
        sides = numpy.linalg.norm(card - numpy.roll(card, -1, axis=0), axis=1)
        patch_px = min(sides[[0, 2]].min() / 6.0, sides[[1, 3]].min() / 4.0)
        off.append(numpy.linalg.norm(numpy.array(corners) - card, axis=1).max() / patch_px)
    return [f"card off by {min(off):.1f} patches"] * (min(off) > OFF_MAX)


class Located:
    """The chart as read against one way to count its cells: its faults, and which truth it is."""

    def __init__(self, truth, measured, named):
        chart = measured["chart"]
        if not named and (chart["rows"], chart["columns"]) != (truth.rows, truth.columns):
            truth = truth.without_blank_borders()
            truth.painted = {}
        self.truth = truth
        self.faults = chart_misread(truth, chart)
        self.told_wrong = 0
        if not self.faults:
            told = cells_misread(truth, measured["readings"], named)
            self.faults = [fault for fault in told if " named where " in fault]
            self.told_wrong = len(told) - len(self.faults)


def locate(truths, measured, named):
    """The best of all ways to count that are right."""
    if named:
        ways = [(truths[0], NO_TURN)]
    else:
        ways = [(truth, turns) for truth in truths for turns in truth.turns_upright()]
    located = [Located(truth.turned(turns), measured, named) for truth, turns in ways]
    return min(located, key=lambda one: len(one.faults))


# --- outlines --------------------------------------------------------------------------------

def area(polygon):
    x, y = polygon[:, 0], polygon[:, 1]
    return 0.5 * float(numpy.sum(x * numpy.roll(y, -1) - y * numpy.roll(x, -1)))


def cut(polygon, start, end):
    """The part of a polygon to the right of a line as seen on the screen, y down."""
    def side(point):
        return ((end[0] - start[0]) * (point[1] - start[1])
                - (end[1] - start[1]) * (point[0] - start[0]))
    kept = []
    for here, there in zip(polygon, numpy.roll(polygon, -1, axis=0)):
        a, b = side(here), side(there)
        if a >= 0:
            kept.append(here)
        if a * b < 0:
            kept.append(here + (there - here) * a / (a - b))
    return numpy.array(kept).reshape(-1, 2)


def share_inside(sampled, painted):
    """Sutherland and Hodgman 1974: clip by each side of the convex outline in turn."""
    rest = sampled
    for start, end in zip(painted, numpy.roll(painted, -1, axis=0)):
        rest = cut(rest, start, end)
        if len(rest) < 3:
            return 0.0
    return area(rest) / area(sampled)


def corner_errors(outline, painted):
    """Each corner's distance from where the ink was painted, in widths of the cell."""
    width = numpy.linalg.norm(painted[1] - painted[0] + painted[2] - painted[3]) / 2.0
    return numpy.linalg.norm(outline - painted, axis=1) / width


def outlines_against(truth, lines):
    """Corner errors of the cells whose outline is sure and of those where it is not, and every
    cell's share of averaged area inside its ink."""
    corners, inside = {True: [], False: []}, []
    for line in lines:
        fields = line.split()
        cell, sure = (int(fields[0]), int(fields[1])), fields[2] == "1"
        outline, sampled = numpy.array(fields[3:], float).reshape(2, 4, 2)
        painted = truth.painted.get(cell)
        if painted is None:
            continue
        inside.append(share_inside(sampled, painted))
        if truth.sharp:
            corners[sure] += corner_errors(outline, painted).tolist()
    return corners, inside
