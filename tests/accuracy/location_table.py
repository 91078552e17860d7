"""The location table: a line for each grade, then one for each item of the list."""

import collections
import re

import numpy

from accuracy import GRADES

HEAD = (f"{'':18}{'photos':>7}{'right':>7}{'refused':>9}{'misread':>9}"
        f"{'no names: right':>17}{'refused':>9}{'misread':>9}"
        f"{'sure, %':>9}{'corners, %':>12}{'others':>8}{'inside, %':>11}{'worst':>7}")


def count(outcomes, kind):
    return sum(outcome is not None and outcome.kind == kind for outcome in outcomes)


def counts(outcomes):
    return [count(outcomes, kind) for kind in ("right", "refused", "misread")]


def percentile(values, which):
    return f"{100.0 * numpy.percentile(values, which):.1f}" if values else "-"


def line_of(label, photos):
    named, unnamed = ([getattr(photo, name) for photo in photos] for name in ("named", "unnamed"))
    sure, others = ([error for photo in photos for error in photo.corners[which]]
                    for which in (True, False))
    share = f"{100.0 * len(sure) / len(sure + others):.0f}" if sure + others else "-"
    inside = [share for photo in photos for share in photo.inside]
    mean = f"{100.0 * numpy.mean(inside):.1f}" if inside else "-"
    right, refused, misread = counts(named)
    bare = counts(unnamed)
    return (f"{label:18}{len(photos):7}{right:7}{refused:9}{misread:9}"
            f"{bare[0]:17}{bare[1]:9}{bare[2]:9}"
            f"{share:>9}{percentile(sure, 99):>12}{percentile(others, 99):>8}"
            f"{mean:>11}{percentile(inside, 1):>7}")


def lines_of_reasons(photos):
    """Why photos were refused that should not be, the most frequent reasons first."""
    reasons = collections.Counter(
        re.sub("[0-9]+", "N", outcome.why)
        for photo in photos for outcome in (photo.named, photo.unnamed)
        if outcome and outcome.kind == "refused")
    return [f"refused {number}: {reason}" for reason, number in reasons.most_common()]


def lines_of_faults(photos):
    lines = []
    for photo in photos:
        for outcome, how in ((photo.named, ""), (photo.unnamed, " without names")):
            if outcome and outcome.kind != "right":
                lines.append(f"{photo.name}{how}: {outcome.kind}: {outcome.why}")
    return lines


def lines_of_cells(photos):
    """Where ink was taken for paper or paper for ink, which is no fault of location."""
    wrong = {photo.name: photo.named.located.told_wrong for photo in photos
             if photo.named and photo.named.located and photo.named.located.told_wrong}
    return ([f"cells whose ink was taken for paper, or paper for ink: {sum(wrong.values())}"]
            + [f"{name}: {number}" for name, number in wrong.items()])


def table_lines(photos):
    items = list(dict.fromkeys(photo.item for photo in photos))
    return (["Rendered photos of the location set: are card and chart found where they are?",
             "A photo that must be refused (mirrored, no card, no chart) is right when it is, with",
             "the reason. With names: those whose sheet lies upright, or whose blanks tell how.",
             "sure: the share of cells, of those with straight edges, whose corners the program is",
             "sure of to 2 % of the width; corners: how far theirs are from the ink's as painted, in",
             "widths of the cell, 99th percentile; others: the same of the rest. inside: the share of",
             "the averaged area that lies in the ink, its mean, and all but the worst hundredth.", "",
             HEAD]
            + [line_of(grade, [photo for photo in photos if photo.grade == grade])
               for grade in GRADES]
            + [line_of("all", photos), ""]
            + [line_of(item, [photo for photo in photos if photo.item == item]) for item in items]
            + [""] + lines_of_reasons(photos) + [""] + lines_of_faults(photos)
            + [""] + lines_of_cells(photos))
