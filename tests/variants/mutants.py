"""Change one sign, comparison or constant of a file at a time, and list what no test notices.

usage: mutants.py BUILD FILE

The unit programs that link the file are run, the quickest first, until one fails; for a file that
none links, or where CASES names cases of the command line, those cases. LINES=FROM-TO looks at a
part of the file, STEP=N at every N-th change. The build must be up to date and its tests pass.
"""

import concurrent.futures
import os
import pathlib
import re
import subprocess
import sys
import tempfile
import time

import variant

# What is changed, by what: signs, comparisons, junctions; numbers are treated by themselves.
SWAPS = {" + ": " - ", " - ": " + ", " += ": " -= ", " -= ": " += ", " * ": " / ", " / ": " * ",
         " < ": " >= ", " > ": " <= ", " <= ": " > ", " >= ": " < ", " == ": " != ", " != ": " == ",
         " && ": " || ", " || ": " && "}
SWAP = re.compile("|".join(re.escape(sign) for sign in SWAPS))
NUMBER = re.compile(r"(?<![\w.\[])(\d+\.?\d*(?:e[+-]?\d+)?)(?![\w.\]]|\s*\])")
MINUS = re.compile(r"(?<=[(=,?:] )-(?=[\w(])|(?<=[(\[])-(?=[\w(])|(?<=return )-(?=[\w(])")
NOT = re.compile(r"!(?=[\w(])")
SLOWEST = 20  # times as long as the test takes, and as many seconds, before a change counts as caught


def other_number(number):
    if re.fullmatch(r"\d+", number):
        return str(int(number) + 1)
    return repr(float(number) * 2 or 1.0)


def changes(text):
    """Each change: where it begins and ends, and what stands there then."""
    code = variant.blanked(text)
    found = [(m.start(), m.end(), SWAPS[m[0]]) for m in SWAP.finditer(code)]
    found += [(m.start(1), m.end(1), other_number(m[1])) for m in NUMBER.finditer(code)]
    found += [(m.start(), m.end(), "") for pattern in (MINUS, NOT) for m in pattern.finditer(code)]
    from_line, to_line = (int(n) for n in os.environ.get("LINES", "1-999999").split("-"))
    kept = [change for change in sorted(found)
            if from_line <= text.count("\n", 0, change[0]) + 1 <= to_line]
    return kept[::int(os.environ.get("STEP", "1"))]


class Program:
    """A unit test program: the objects it is linked from, and how long it takes."""

    def __init__(self, build, program):
        self.name = program.name
        started = time.monotonic()
        passes = subprocess.run([program], capture_output=True).returncode == 0
        self.seconds = time.monotonic() - started
        if not passes:
            raise SystemExit(f"{program} fails as it is")
        made = subprocess.run(["make", "-n", "-W", f"tests/unit/{self.name}.c", f"BUILD={build}", "V=1",
                               program], capture_output=True, text=True).stdout
        self.objects = sorted(set(re.findall(rf"{re.escape(str(build))}/tests/\S+\.o", made)))

    def catches(self, folder, made, build):
        program = variant.linked(folder / self.name, [*self.objects, made, "-lcmocka"], build)
        try:
            result = subprocess.run([program], capture_output=True,
                                    timeout=SLOWEST * (1 + self.seconds))
        except subprocess.TimeoutExpired:
            return True
        return result.returncode != 0


class Cases:
    """Cases of the command line, run with a woad of their own."""

    def __init__(self, build, cases):
        self.name, self.seconds = "the command line's cases", 10
        self.cases = cases

    def catches(self, folder, made, build):
        main = [build / "commands" / "main.o"] if made.name != "main.o" else []
        under = folder / "under"
        under.mkdir(exist_ok=True)
        variant.linked(under / "woad", [*main, made], build)
        try:
            result = subprocess.run(["sh", "tests/cli/run.sh", build, *self.cases], timeout=300,
                                    env=os.environ | {"UNDER": str(under), "JOBS": "1"},
                                    capture_output=True)
        except subprocess.TimeoutExpired:
            return True
        return result.returncode != 0


def public_symbols(build, path):
    made = build.joinpath(*path.parts[1:]).with_suffix(".o")
    listed = subprocess.run(["nm", "-g", "--defined-only", made], capture_output=True, text=True,
                            check=True)
    return {line.split()[-1] for line in listed.stdout.splitlines()}


def tests_of(build, path):
    """What may notice: cases that were named, or the programs that link the file, the quickest first."""
    if os.environ.get("CASES"):
        return [Cases(build, os.environ["CASES"].split())]
    symbols = public_symbols(build, path)
    programs = []
    for program in sorted((build / "tests").glob("test_*")):
        listed = subprocess.run(["nm", program], capture_output=True, text=True).stdout
        if symbols & {line.split()[-1] for line in listed.splitlines()}:
            programs.append(Program(build, program))
    if not programs:
        raise SystemExit(f"no unit test links {path}: name CASES of the command line")
    return sorted(programs, key=lambda one: (path.stem not in one.name, one.seconds))


def verdict(build, path, text, change, tests):
    begin, end, new = change
    with tempfile.TemporaryDirectory() as folder:
        folder = pathlib.Path(folder)
        made = variant.compiled(folder, path, text[:begin] + new + text[end:])
        if not made:
            return "does not compile"
        for test in tests:
            if test.catches(folder, made, build):
                return test.name
    return None


def describe(path, text, change):
    begin, end, new = change
    number = text.count("\n", 0, begin) + 1
    start = text.rfind("\n", 0, begin) + 1
    line = text[start:text.find("\n", begin)]
    then = line[:begin - start] + new + line[end - start:]
    return f"{path}:{number}: {line.strip()}\n{'':{len(str(path)) + len(str(number)) + 1}}: {then.strip()}"


def main(arguments):
    if len(arguments) != 2:
        raise SystemExit(__doc__)
    build, path = (pathlib.Path(argument) for argument in arguments)
    text = path.read_text(encoding="utf-8")
    found, tests = changes(text), tests_of(build, path)
    print(f"{len(found)} changes, looked for by {', '.join(test.name for test in tests)}", flush=True)
    with concurrent.futures.ThreadPoolExecutor(os.cpu_count()) as threads:
        verdicts = list(threads.map(lambda one: verdict(build, path, text, one, tests), found))
    for change, caught in zip(found, verdicts):
        if caught is None:
            print(describe(path, text, change))
    viable = [caught for caught in verdicts if caught != "does not compile"]
    print(f"{len(viable)} compiled, {len(viable) - viable.count(None)} caught, "
          f"{viable.count(None)} survived")


if __name__ == "__main__":
    main(sys.argv[1:])
