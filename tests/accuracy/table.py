"""The accuracy table: a column for each grade."""

import collections
import re

import numpy

BANDS = ("grey, C* < 10", "dark, L* < 30", "light, L* > 80", "hue 0 to 60", "hue 60 to 120",
         "hue 120 to 180", "hue 180 to 240", "hue 240 to 300", "hue 300 to 360")


def band_of(cell):
    """Greys first, then the dark and the light, then six hues."""
    if numpy.hypot(cell["a"], cell["b"]) < 10.0:
        return BANDS[0]
    if cell["L"] < 30.0:
        return BANDS[1]
    if cell["L"] > 80.0:
        return BANDS[2]
    return BANDS[3 + int(numpy.degrees(numpy.arctan2(cell["b"], cell["a"])) % 360.0 // 60.0)]


def values(cells, name):
    return numpy.array([cell[name] for cell in cells], float)


def figures_of_cells(cells):
    """Label and text of each figure over cells with ink."""
    if not cells:
        return {}
    errors, radii = values(cells, "delta_e"), values(cells, "u95")
    return {
        "cells with ink": f"{len(cells)}",
        "delta E 2000, mean": f"{errors.mean():.2f}",
        "  median": f"{numpy.median(errors):.2f}",
        "  95th percentile": f"{numpy.percentile(errors, 95):.2f}",
        "  worst": f"{errors.max():.2f}",
        "dL*, mean with its sign": f"{values(cells, 'dL').mean():+.2f}",
        "truth within u95, %": f"{100.0 * (errors <= radii).mean():.1f}",
        "  within half of it, %": f"{100.0 * (errors <= radii / 2).mean():.1f}",
        "  within its double, %": f"{100.0 * (errors <= radii * 2).mean():.1f}",
        "u95, median": f"{numpy.median(radii):.2f}",
    }


def figures_of_photos(photos):
    return {
        "photos": f"{len(photos)}",
        "read": f"{sum(not photo.refused for photo in photos)}",
        "refused": f"{sum(bool(photo.refused) for photo in photos)}",
        "silent misreads": f"{sum(bool(photo.misread) for photo in photos)}",
        "cells with ink left unread": f"{sum(photo.unreadable for photo in photos)}",
    }


def figures_unnamed(photos):
    """How the same photos fare when no names tell the rows and columns."""
    return {
        "without names: refused": f"{sum(bool(photo.unnamed_refused) for photo in photos)}",
        "  silent misreads": f"{sum(bool(photo.unnamed_misread) for photo in photos)}",
    }


def lines_of(columns):
    labels = list(dict.fromkeys(label for column in columns.values() for label in column))
    head = [f"{'':28}" + "".join(f"{grade:>10}" for grade in columns)]
    return head + [f"{label:28}" + "".join(f"{column.get(label, '-'):>10}"
                                           for column in columns.values()) for label in labels]


def lines_of_bands(cells):
    head = "cells with ink by band       cells   mean   95th   within u95, %   u95, median"
    lines = [head]
    for band in BANDS:
        own = [cell for cell in cells if band_of(cell) == band]
        if not own:
            continue
        errors, radii = values(own, "delta_e"), values(own, "u95")
        lines.append(f"{band:28}{len(own):6}{errors.mean():7.2f}"
                     f"{numpy.percentile(errors, 95):7.2f}"
                     f"{100.0 * (errors <= radii).mean():16.1f}{numpy.median(radii):14.2f}")
    return lines


def lines_of_faults(photos):
    """Every photo refused or misread, by name; reasons of refusal counted first."""
    reasons = collections.Counter(re.sub("[0-9]+", "N", photo.refused)
                                  for photo in photos if photo.refused)
    lines = [f"refused {count}: {reason}" for reason, count in reasons.most_common()]
    for photo in photos:
        faults = photo.misread + [photo.refused] * bool(photo.refused)
        lines += [f"{photo.name}: {fault}" for fault in faults[:4]]
        lines += [f"{photo.name}: and {len(faults) - 4} more"] * (len(faults) > 4)
        faults = photo.unnamed_misread + [photo.unnamed_refused] * bool(photo.unnamed_refused)
        lines += [f"{photo.name} without names: {fault}" for fault in faults[:1]]
    return lines or ["no photo was refused or misread"]


def column_of(photos):
    cells = [cell for photo in photos for cell in photo.cells]
    return figures_of_photos(photos) | figures_of_cells(cells) | figures_unnamed(photos)


def table_lines(photos_by_grade):
    """The whole table, as text."""
    columns = {}
    for grade, photos in photos_by_grade.items():
        columns[grade] = column_of(photos)
    everything = [photo for photos in photos_by_grade.values() for photo in photos]
    columns["all"] = column_of(everything)
    cells = [cell for photo in everything for cell in photo.cells]
    return (["Rendered photos measured by the program against the truth of their spectra.",
             "A photo whose card or chart was misread gives no cells. Without names, rows and",
             "columns at the border that are blank throughout need not be found.", ""]
            + lines_of(columns) + [""] + lines_of_bands(cells) + [""] + lines_of_faults(everything))
