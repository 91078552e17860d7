"""The checks of colour values and accuracy that `make check` runs.

usage: check.py BUILD N     N photos a grade are rendered and measured, one for each item of the
                            location set, and a series a grade of the same ink measured again
"""

import pathlib
import sys

import accuracy
import again
import delta_e
import location
import outside
import readings
from rendered import Rendered, album


def claims_of_readings(build):
    """On two photos that the accuracy table has, too."""
    folder = album(build)
    return readings.claims(build, [
        Rendered(build, folder, f"{grade}-001",
                 ["--grade", grade, "--number", 1, "--treatment", "plain"])
        for grade in ("even", "ordinary")])


def main(words):
    delta_e.verify()
    if len(words) != 2 or not words[1].isdigit():
        raise SystemExit(__doc__)
    build = pathlib.Path(words[0])
    passed = failed = 0
    for claims in (outside.claims(build), accuracy.claims(build, int(words[1])),
                   location.claims(build), again.claims(build, 2), claims_of_readings(build)):
        for claim, holds, seen in claims:
            passed, failed = passed + holds, failed + (not holds)
            print(f"{'passed' if holds else 'FAILED'}: {claim}" + (f" ({seen})" if seen else ""))
    print(f"{passed} passed, {failed} failed")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
