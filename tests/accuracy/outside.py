"""Checks of the program's colour values against references outside the project.

Each function yields claims: a sentence, whether it holds, and what was seen.
"""

import csv
import json
import subprocess

import numpy

from delta_e import delta_e_2000

COLOURS = 1000
SEED = 20141101
TOLERANCE = 1e-4  # Lab and delta E units
SRGB_TOLERANCE = 1e-4  # of full scale: a fortieth of an 8-bit step

# Source: ICC.1:2010, 7.2.16, the profile connection space illuminant.
D50 = numpy.array([0.9642, 1.0, 0.8249])
# Source: IEC 61966-2-1, its primaries and white in x, y; Bradford as in ICC.1:2010, annex E.
SRGB_PRIMARIES = numpy.array([[0.64, 0.33], [0.30, 0.60], [0.15, 0.06]])
SRGB_WHITE = numpy.array([0.3127, 0.3290])
BRADFORD = numpy.array([[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367],
                        [0.0389, -0.0685, 1.0296]])


def xyz_from_linear_srgb():
    """The matrix to XYZ at D50. Source: IEC 61966-2-1 and the Bradford adaptation."""
    columns = numpy.array([[x / y, 1.0, (1.0 - x - y) / y]
                           for x, y in (*SRGB_PRIMARIES, SRGB_WHITE)]).T
    primaries, white = columns[:, :3], columns[:, 3]
    gains = (BRADFORD @ D50) / (BRADFORD @ white)
    adapt = numpy.linalg.inv(BRADFORD) @ numpy.diag(gains) @ BRADFORD
    return adapt @ (primaries * numpy.linalg.solve(primaries, white))


def encode_srgb(linear):
    """Source: IEC 61966-2-1."""
    return numpy.where(linear <= 0.0031308, 12.92 * linear,
                       1.055 * numpy.maximum(linear, 1e-9) ** (1.0 / 2.4) - 0.055)


def random_pairs():
    """Pairs of colours, linear: many dark ones for the straight part, every other pair close."""
    generator = numpy.random.RandomState(SEED)
    first = generator.uniform(0.0, 1.0, (COLOURS, 3)) ** 3
    second = generator.uniform(0.0, 1.0, (COLOURS, 3)) ** 3
    close = numpy.minimum(first * generator.uniform(0.9, 1.1, (COLOURS, 3)), 1.0)
    return first, numpy.where(numpy.arange(COLOURS)[:, None] % 2, close, second)


def program_values(build, first, second):
    lines = "\n".join(" ".join(f"{value:.12f}" for value in (*one, *other))
                      for one, other in zip(first, second))
    result = subprocess.run([build / "colour_values"], input=lines, capture_output=True, text=True,
                            check=True)
    values = numpy.array([line.split() for line in result.stdout.splitlines()], float)
    return values[:, 0:3], values[:, 3:6], values[:, 6], values[:, 7:10]


def colormath_delta_e(first, second):
    """Delta E 2000 by python3-colormath, which still calls what numpy has dropped.

    It leaves the mean of two hues above 360 degrees, which costs up to 0.0001.
    """
    numpy.asscalar = lambda array: array.item()
    from colormath.color_diff import delta_e_cie2000
    from colormath.color_objects import LabColor
    return numpy.array([delta_e_cie2000(LabColor(*one), LabColor(*other))
                        for one, other in zip(first, second)])


def claims_of_values(build):
    """Lab, delta E 2000 and sRGB of random colours."""
    import colorspacious
    first, second = random_pairs()
    first_xyz, second_xyz = (linear @ xyz_from_linear_srgb().T for linear in (first, second))
    lab_1, lab_2, difference, srgb = program_values(build, first_xyz, second_xyz)
    space = {"name": "CIELab", "XYZ100_w": 100.0 * D50}
    worst = numpy.abs(
        lab_1 - colorspacious.cspace_convert(100.0 * first_xyz, "XYZ100", space)).max()
    yield (f"CIELAB of {COLOURS} random colours is that of python3-colorspacious",
           bool(worst <= TOLERANCE), f"at most {worst:.1e} apart")
    for name, other in (("python3-colormath", colormath_delta_e(lab_1, lab_2)),
                        ("the formula in the paper", delta_e_2000(lab_1, lab_2))):
        worst = numpy.abs(difference - other).max()
        yield (f"delta E 2000 of {COLOURS} random pairs is that of {name}",
               bool(worst <= TOLERANCE), f"at most {worst:.1e} apart")
    worst = numpy.abs(srgb - encode_srgb(first)).max()
    yield (f"sRGB of {COLOURS} random colours is that of IEC 61966-2-1",
           bool(worst <= SRGB_TOLERANCE), f"at most {worst:.1e} apart")


def claims_of_card(build):
    """A rendered card through the whole correction; its truth is the table its spectra match."""
    folder = build / "accuracy"
    folder.mkdir(parents=True, exist_ok=True)
    photo, truth = folder / "even-001.jpg", folder / "even-001.truth.csv"
    subprocess.run([build / "scene", "accuracy", folder, "--grade", "even", "--first", "1",
                    "--count", "1"], check=True)
    result = subprocess.run([build / "woad", "card", "--check", photo, "--format", "json"],
                            capture_output=True, text=True, check=True)
    with open(truth, newline="", encoding="utf-8") as file:
        known = [[float(row[channel]) for channel in "Lab"]
                 for row in csv.DictReader(file) if row["item"] == "patch"]
    patches = json.loads(result.stdout)["patches"]
    used = [i for i, patch in enumerate(patches) if patch["used"] == "yes"]
    read = [[patches[i][channel] for channel in "Lab"] for i in used]
    mean = delta_e_2000(read, [known[i] for i in used]).mean()
    left_out = numpy.mean([patches[i]["left_out"] for i in used])
    yield ("a rendered card comes back within 1.0 on average", bool(mean <= 1.0),
           f"{mean:.2f} over {len(used)} patches")
    yield ("each patch predicted from the others is within 1.0 on average", bool(left_out <= 1.0),
           f"{left_out:.2f}")


def claims(build):
    yield from claims_of_values(build)
    yield from claims_of_card(build)
