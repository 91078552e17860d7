"""CIEDE2000 written from the paper, so that no truth passes through the code under test.

Source: Sharma, Wu and Dalal 2005, "The CIEDE2000 color-difference formula: implementation
notes, supplementary test data, and mathematical observations", equations 2 to 22, with
kL = kC = kH = 1; its 34 test pairs, from memory, are kept in sharma_pairs.csv.
"""

import csv
import pathlib

import numpy

HALF_TURN = 180.0 + 1e-9  # degrees: opposite hues stay within it when rounding parts them further
PAIRS = pathlib.Path(__file__).with_name("sharma_pairs.csv")


def hue_degrees(a, b):
    """The hue angle, 0 to 360; 0 for a grey (equation 7)."""
    return numpy.where((a == 0) & (b == 0), 0.0, numpy.degrees(numpy.arctan2(b, a)) % 360.0)


def hue_difference(first, second, chroma_product):
    """From the first hue to the second by the shorter way round (equation 10)."""
    difference = second - first
    difference = numpy.where(difference > HALF_TURN, difference - 360.0, difference)
    difference = numpy.where(difference < -HALF_TURN, difference + 360.0, difference)
    return numpy.where(chroma_product == 0, 0.0, difference)


def hue_mean(first, second, chroma_product):
    """The middle of two hues (equation 14)."""
    total = first + second
    far = numpy.abs(first - second) > HALF_TURN
    mean = numpy.where(far, numpy.where(total < 360.0, total + 360.0, total - 360.0), total) / 2.0
    return numpy.where(chroma_product == 0, total, mean)


def with_even_greys(first, second):
    """L, C' and h' of both colours, a* stretched near the greys (equations 2 to 7)."""
    chroma_mean = (numpy.hypot(first[1], first[2]) + numpy.hypot(second[1], second[2])) / 2.0
    power = chroma_mean**7
    stretch = 1.5 - 0.5 * numpy.sqrt(power / (power + 25.0**7))
    return [(lab[0], numpy.hypot(stretch * lab[1], lab[2]), hue_degrees(stretch * lab[1], lab[2]))
            for lab in (first, second)]


def cosine(degrees):
    return numpy.cos(numpy.radians(degrees))


def delta_e_2000(first, second):
    """The difference of colours given as arrays whose last axis is L*, a*, b*."""
    first = numpy.moveaxis(numpy.asarray(first, float), -1, 0)
    second = numpy.moveaxis(numpy.asarray(second, float), -1, 0)
    (light_1, chroma_1, hue_1), (light_2, chroma_2, hue_2) = with_even_greys(first, second)
    product = chroma_1 * chroma_2
    turn = hue_difference(hue_1, hue_2, product)
    step = 2.0 * numpy.sqrt(product) * numpy.sin(numpy.radians(turn) / 2.0)

    light = (light_1 + light_2) / 2.0
    chroma = (chroma_1 + chroma_2) / 2.0
    hue = hue_mean(hue_1, hue_2, product)
    weight = (1.0 - 0.17 * cosine(hue - 30.0) + 0.24 * cosine(2.0 * hue)
              + 0.32 * cosine(3.0 * hue + 6.0) - 0.20 * cosine(4.0 * hue - 63.0))
    rotation = 30.0 * numpy.exp(-(((hue - 275.0) / 25.0) ** 2))
    power = chroma**7
    tilt = (-numpy.sin(numpy.radians(2.0 * rotation))
            * 2.0 * numpy.sqrt(power / (power + 25.0**7)))
    from_light = (light_2 - light_1) / (
        1.0 + 0.015 * (light - 50.0) ** 2 / numpy.sqrt(20.0 + (light - 50.0) ** 2))
    from_chroma = (chroma_2 - chroma_1) / (1.0 + 0.045 * chroma)
    from_hue = step / (1.0 + 0.015 * chroma * weight)
    return numpy.sqrt(from_light**2 + from_chroma**2 + from_hue**2
                      + tilt * from_chroma * from_hue)


def sharma_pairs():
    """The published pairs: two arrays of Lab and the differences, to four decimals."""
    with open(PAIRS, newline="", encoding="utf-8") as file:
        rows = numpy.array([[float(field) for field in row] for row in list(csv.reader(file))[1:]])
    return rows[:, 0:3], rows[:, 3:6], rows[:, 6]


def verify():
    """Stop unless every published pair comes out to its four decimals, both ways round."""
    first, second, published = sharma_pairs()
    for one, other in ((first, second), (second, first)):
        wrong = numpy.flatnonzero(numpy.abs(delta_e_2000(one, other) - published) > 0.00005001)
        if len(published) != 34 or wrong.size:
            raise SystemExit(f"delta_e.py: pairs {wrong + 1} of {len(published)} miss the "
                             "values of Sharma, Wu and Dalal (2005)")


if __name__ == "__main__":
    verify()
    print("all 34 pairs of Sharma, Wu and Dalal (2005) agree to four decimals")
