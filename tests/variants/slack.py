"""Move one constant and see what that does to a few rendered photos: which constants bear load, and how
much room they have.

usage: slack.py BUILD NAME [FILE]      NAME as in "#define NAME 0.15"; FILE where two have it
FACTORS in the environment asks for others, such as "0 20" to see whether a constant bears any load.
"""

import concurrent.futures
import os
import pathlib
import re
import subprocess
import sys
import tempfile

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1] / "accuracy"))
# pylint: disable=wrong-import-position
import variant  # noqa: E402
from compare import compare  # noqa: E402

FACTORS = [float(word) for word in os.environ.get("FACTORS", "0.5 0.75 0.9 1 1.1 1.33 2").split()]
# What the photos hold: each of the troubles that thresholds were set for, small enough for seconds.
SMALL = ("--width", "1280", "--height", "960")
PHOTOS = ([("ordinary", number, ()) for number in (1, 2, 3)] + [("hard", number, ()) for number in (1, 2)]
          + [("ordinary", 7, ("--item", item))
             for item in ("touching", "blanks", "pale", "dark", "curl", "covered", "tilt", "shadow",
                          "card-glare", "cell-glare", "brushed", "labels-beside")])


def rendered(build):
    """The photos, made once."""
    folder = build / "slack"
    folder.mkdir(parents=True, exist_ok=True)
    paths = []
    for grade, number, options in PHOTOS:
        path = folder / "-".join((grade, str(number), *options[1:]))
        if not path.with_suffix(".jpg").exists():
            subprocess.run([build / "scene", "plain", path, "--grade", grade, "--number", str(number),
                            *options, *SMALL], check=True, capture_output=True)
        paths.append(path)
    return paths


def measured(woad, path):
    """The comparison with the truth; None where the photo is refused."""
    truth = path.with_suffix(".truth.csv")
    edition = "from-2014-11" if "2014-11" in truth.read_text(encoding="utf-8") else "before-2014-11"
    result = subprocess.run([woad, "measure", "--dry-run", "--format", "json", "--card", edition,
                             "--names", path.with_suffix(".names.csv"), path.with_suffix(".jpg")],
                            capture_output=True, text=True,
                            env=os.environ | {"WOAD_CALIBRATION": "calibration"})
    if result.returncode not in (0, 4, 5):
        raise SystemExit(f"{path}: the program ended with {result.returncode}: {result.stderr}")
    return compare(truth, result.stdout) if result.returncode == 0 else None


def figures(woad, paths, threads):
    """What all photos show together: refused, misread, unreadable, mean, 95th percentile, held, mean u95."""
    shown = list(threads.map(lambda path: measured(woad, path), paths))
    read = [one for one in shown if one]
    errors = sorted((cell["delta_e"], cell["delta_e"] <= cell["u95"]) for one in read for cell in one.cells)
    count = len(errors) or 1
    return (len(shown) - len(read), sum(bool(one.misread) for one in read),
            sum(one.unreadable for one in read), len(errors),
            round(sum(error for error, _ in errors) / count, 3),
            round(errors[int(0.95 * len(errors))][0], 2) if errors else 0.0,
            round(100 * sum(held for _, held in errors) / count, 1),
            round(sum(cell["u95"] for one in read for cell in one.cells) / count, 3))


def definition(name, file):
    """Where the constant is defined: path, text, begin and end of its number."""
    paths = [pathlib.Path(file)] if file else sorted(
        path for folder in ("include", "src") for path in pathlib.Path(folder).rglob("*.[ch]"))
    found = []
    for path in paths:
        text = path.read_text(encoding="utf-8")
        match = re.search(rf"^#define {name} +\(?-?(\d[\d.e+-]*)", text, re.M)
        if match:
            found.append((path, text, *match.span(1)))
    if len(found) != 1:
        raise SystemExit(f"{name} is defined as a number in {len(found)} files: "
                         f"{', '.join(str(one[0]) for one in found) or 'none'}; say FILE=")
    return found[0]


def moved(number, factor):
    """The number times the factor; a whole one moves by one at least, and stays whole."""
    if re.fullmatch(r"\d+", number):
        whole, step = round(int(number) * factor), (factor > 1) - (factor < 1)
        return str(max(0, int(number) + step if whole == int(number) else whole))
    return f"{float(number) * factor:.6g}"


def variant_of(build, folder, path, text):
    """A woad in which one file has other text."""
    folder = pathlib.Path(folder)
    sources = [path]
    if path.suffix == ".h":
        sources = variant.includers(path)
        changed = folder / (path.name if path.parts[0] == "src" else "/".join(path.parts[1:]))
        changed.parent.mkdir(parents=True, exist_ok=True)
        changed.write_text(text, encoding="utf-8")
    objects = []
    for source in sources:
        within = folder / source.parent.name
        within.mkdir(exist_ok=True)
        if path.suffix == ".h" and source.parent == path.parent:
            (within / path.name).write_text(text, encoding="utf-8")
        made = variant.compiled(within, source, text if source == path
                                else source.read_text(encoding="utf-8"), folder)
        if not made:
            return None
        objects.append(made)
    main = [] if any(made.name == "main.o" for made in objects) else [build / "commands" / "main.o"]
    return variant.linked(folder / "woad", [*main, *objects], build)


def main(arguments):
    if len(arguments) not in (2, 3):
        raise SystemExit(__doc__)
    build = pathlib.Path(arguments[0])
    path, text, begin, end = definition(arguments[1], arguments[2] if len(arguments) > 2 else None)
    paths = rendered(build)
    print(f"{path}: {arguments[1]} {text[begin:end]}, {len(paths)} rendered photos")
    print("  factor        value  refused  misread  unreadable  cells   mean    p95  in u95       u95")
    with concurrent.futures.ThreadPoolExecutor(os.cpu_count()) as threads:
        usual = figures(build / "woad", paths, threads)
        for factor in FACTORS:
            value = text[begin:end] if factor == 1 else moved(text[begin:end], factor)
            with tempfile.TemporaryDirectory() as folder:
                woad = variant_of(build, folder, path, text[:begin] + value + text[end:])
                shown = figures(woad, paths, threads) if woad and factor != 1 else usual
            if not woad:
                print(f"{factor:8} {value:>12}  does not compile")
                continue
            print("{:8} {:>12} {:8} {:8} {:11} {:6} {:6.3f} {:6.2f} {:6.1f} % {:9.3f}".format(factor, value, *shown)
                  + ("" if factor == 1 or shown != usual else "  no change"), flush=True)


if __name__ == "__main__":
    main(sys.argv[1:])
