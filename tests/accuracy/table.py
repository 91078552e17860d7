"""The accuracy table: how each treatment and grade fares side by side, then each treatment alone."""

import collections
import re

import numpy

BANDS = ("grey, C* < 10", "dark, L* < 30", "light, L* > 80", "hue 0 to 60", "hue 60 to 120",
         "hue 120 to 180", "hue 180 to 240", "hue 240 to 300", "hue 300 to 360")
RESAMPLINGS = 1000
SEED = 20260503

HEAD = (f"{'':16}{'photos':>6}{'refused':>8}{'misread':>8}{'unread':>7}{'inks':>6}{'mean':>6}"
        f"{'95th':>6}{'worst':>6}{'held, %':>9}{'from     to':>14}{'u95':>6}")


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


def held_counts(cells):
    """How many of the cells have a promised u95, and how many of those keep it."""
    promised = [cell for cell in cells if cell["u95"] is not None]
    return len(promised), sum(cell["delta_e"] <= cell["u95"] for cell in promised)


def held_interval(photos):
    """The interval, 95 %, of the share of cells within u95, in per cent.

    Cells of one photo err together, so photos are resampled, not cells.
    """
    counts = numpy.array([held_counts(photo.cells) for photo in photos], float)
    counts = counts[counts[:, 0] > 0]
    if len(counts) < 2:
        return None
    drawn = numpy.random.RandomState(SEED).randint(len(counts), size=(RESAMPLINGS, len(counts)))
    sums = counts[drawn].sum(axis=1)
    return numpy.percentile(100.0 * sums[:, 1] / sums[:, 0], [2.5, 97.5])


def text_of_held(photos):
    promised, held = held_counts([cell for photo in photos for cell in photo.cells])
    interval = held_interval(photos)
    share = f"{100.0 * held / promised:9.1f}" if promised else f"{'-':>9}"
    return share + (f"{interval[0]:8.1f}{interval[1]:6.1f}" if interval is not None
                    else f"{'-':>8}{'-':>6}")


def line_of(label, photos):
    """One line of the table side by side."""
    cells = [cell for photo in photos for cell in photo.cells]
    counts = (f"{label:16}{len(photos):6}{sum(bool(photo.refused) for photo in photos):8}"
              f"{sum(bool(photo.misread) for photo in photos):8}"
              f"{sum(photo.unreadable for photo in photos):7}{len(cells):6}")
    if not cells:
        return counts
    errors = values(cells, "delta_e")
    radii = [cell["u95"] for cell in cells if cell["u95"] is not None]
    median = f"{numpy.median(radii):6.2f}" if radii else f"{'-':>6}"
    return counts + (f"{errors.mean():6.2f}{numpy.percentile(errors, 95):6.2f}{errors.max():6.1f}"
                     f"{text_of_held(photos)}{median}")


def lines_side_by_side(groups):
    """A line for each treatment and grade, then what is known apart from what is held out."""
    lines = [HEAD]
    for (treatment, grade), photos in groups.items():
        lines.append(line_of(f"{treatment}, {grade}", photos))
    lines.append("")
    for treatment in dict.fromkeys(treatment for treatment, _ in groups):
        own = photos_of(groups, treatment)
        lines.append(line_of(f"{treatment}, all", own))
        if any(photo.held_out for photo in own):
            lines.append(line_of("  known", [photo for photo in own if not photo.held_out]))
            lines.append(line_of("  held out", [photo for photo in own if photo.held_out]))
    return lines


def photos_of(groups, treatment):
    return [photo for (own, _), photos in groups.items() if own == treatment for photo in photos]


def lines_of_bands(photos):
    """A line for each band of colour, and whether doubts have the right shape."""
    lines = ["inks by band                  inks   mean   95th   bias L*   held, %   u95, median"]
    cells = [cell for photo in photos for cell in photo.cells]
    for band in (*BANDS, "all"):
        own = [cell for cell in cells if band in ("all", band_of(cell))]
        promised, held = held_counts(own)
        if not promised:
            continue
        radii = [cell["u95"] for cell in own if cell["u95"] is not None]
        lines.append(f"{band:28}{len(own):6}{values(own, 'delta_e').mean():7.2f}"
                     f"{numpy.percentile(values(own, 'delta_e'), 95):7.2f}"
                     f"{values(own, 'dL').mean():+10.2f}{100.0 * held / promised:10.1f}"
                     f"{numpy.median(radii):14.2f}")
    return lines


def line_of_shares(photos):
    """How the errors lie within their doubts: half of it, its double."""
    cells = [cell for photo in photos for cell in photo.cells if cell["u95"] is not None]
    if not cells:
        return []
    part = values(cells, "delta_e") / values(cells, "u95")
    return [f"within half of u95 {100.0 * (part <= 0.5).mean():.1f} %, "
            f"within its double {100.0 * (part <= 2.0).mean():.1f} %; not promised "
            f"{sum(cell['u95'] is None for photo in photos for cell in photo.cells)} cells; "
            f"without names {sum(bool(photo.unnamed_refused) for photo in photos)} photos refused, "
            f"{sum(bool(photo.unnamed_misread) for photo in photos)} misread in silence"]


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


def table_lines(groups):
    """The whole table, as text."""
    lines = ["Rendered photos measured by the program against the truth of their spectra: with a",
             "camera's look, with a phone's local tone mapping too, plain, and raw. Errors are delta E 2000",
             "over cells with ink; `misread` counts photos with a wrong name, row or kind of cell that",
             "nothing was said of; `held` is the share within u95, in per cent, with the interval that",
             "resampling photos gives. Half of the looks and cameras are held out of all tuning. A",
             "photo whose card or chart was misread gives no cells.", ""]
    lines += lines_side_by_side(groups)
    for treatment in dict.fromkeys(treatment for treatment, _ in groups):
        own = photos_of(groups, treatment)
        lines += ["", f"{treatment}:", *lines_of_bands(own), *line_of_shares(own)]
    everything = [photo for photos in groups.values() for photo in photos]
    return lines + ["", *lines_of_faults(everything)]
