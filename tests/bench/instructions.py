"""How many instructions a photo takes, stage by stage: they do not depend on how busy a machine is.

usage: instructions.py BUILD     count under valgrind's callgrind, print the table and write it to
                                 BUILD/bench/instructions.txt

Counts are of the compiled program and its libraries, so they change a little with their versions.
"""

import pathlib
import re
import subprocess
import sys

# A stage, and the function in which it is; what a function calls is counted with it.
STAGES = {
    "decode": "photo_read",
    "marks": "photo_sheet_find",
    "regions": "regions_find",
    "edges": "edges_find",
    "card": "card_pose_find",
    "chart": "chart_pose_find",
    "surfaces": "surfaces_find",
    "correction": "correction_fit",
    "cells": "cells_read",
    "sensors": "sensors_of_chart",
}
PHOTOS = {
    "JPEG, 24 megapixels": "{build}/bench/photo.jpg",
    "JPEG, Display P3": "testimages/display-p3.jpg",
    "HEIC": "testimages/from-a-phone.heic",
    "PNG, 16 bits": "testimages/sixteen-bits.png",
}
LINE = re.compile(r"^ *([0-9,]+) +\([ 0-9.]+%\) +(?:\S*:)?([a-z_0-9]+)(?: \[.*)?$")


def counted(words, folder):
    """Instructions by function, those it calls included, and of all the run."""
    profile = folder / "callgrind.out"
    run = subprocess.run(["valgrind", "--tool=callgrind", f"--callgrind-out-file={profile}", *words],
                         stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True, check=False)
    total = re.search(r"Collected : (\d+)", run.stderr)
    if run.returncode or not total:
        sys.exit(f"{' '.join(map(str, words))} ended with {run.returncode}:\n{run.stderr}")
    told = subprocess.run(["callgrind_annotate", "--inclusive=yes", "--threshold=100", "--auto=no",
                           profile], capture_output=True, text=True, check=True).stdout
    profile.unlink()
    counts = {}
    for line in told.splitlines():
        found = LINE.match(line)
        if found:  # a file that is named in two ways stands twice
            count = int(found.group(1).replace(",", ""))
            counts[found.group(2)] = max(count, counts.get(found.group(2), 0))
    return counts, int(total.group(1))


def row(label, counts, total):
    """Millions, to three figures, which is as far as versions of libraries let them be compared."""
    cells = [total] + [counts.get(function, 0) for function in STAGES.values()]
    return f"{label:22}" + "".join(f"{cell / 1e6:>11,.0f}" for cell in cells)


def main(build):
    folder = build / "bench"
    folder.mkdir(exist_ok=True)
    lines = ["Millions of instructions a photo, under callgrind; djpeg beside them decodes alone.", "",
             f"{'':22}" + "".join(f"{name:>11}" for name in ["whole", *STAGES])]
    for label, path in PHOTOS.items():
        photo = path.format(build=build)
        lines.append(row(label, *counted([build / "woad", "measure", "--dry-run", photo], folder)))
        if photo.endswith(".jpg"):
            _, total = counted(["djpeg", "-outfile", "/dev/null", photo], folder)
            lines.append(f"{'  djpeg':22}{total / 1e6:>11,.0f}")
    text = "\n".join(lines) + "\n"
    (folder / "instructions.txt").write_text(text)
    print(text, end="")


if __name__ == "__main__":
    main(pathlib.Path(sys.argv[1]))
