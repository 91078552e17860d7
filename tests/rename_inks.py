#!/usr/bin/env python3
"""Give the invented inks other names, everywhere: tests/rename_inks.py NAMES.csv

NAMES.csv holds the old name and the new one, a pair a line. The inks of the rendered photos stand in
tests/scene/inks.c, and everything that names them (the demo's range, names and truth of the test
images, tests, README) is text; this replaces them in all files that git knows. Afterwards
`make testimages` renders the photos anew, whose labels show the names, and `make cli` tells which
aligned tables have moved.
"""
import csv
import re
import subprocess
import sys


def main():
    with open(sys.argv[1], encoding="utf-8") as file:
        new = dict(csv.reader(file))
    if len(set(new.values())) != len(new):
        sys.exit("two inks would have one name")
    begins = r"(?:\b|(?<=\\n)|(?<=\\x[0-9A-F]{2}))"  # behind an escape of a quoted string, too
    old = re.compile(begins + "(" + "|".join(map(re.escape, sorted(new, key=len, reverse=True))) + r")\b")
    for path in subprocess.run(["git", "ls-files", "-z"], capture_output=True, text=True,
                               check=True).stdout.rstrip("\0").split("\0"):
        with open(path, "rb") as file:
            data = file.read()
        try:
            text = data.decode("utf-8")
        except UnicodeDecodeError:
            continue  # a picture, or a file that is damaged on purpose
        changed = old.sub(lambda name: new[name.group(1)], text)
        if changed != text:
            with open(path, "wb") as file:
                file.write(changed.encode("utf-8"))


if __name__ == "__main__":
    main()
