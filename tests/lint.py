"""Hold the sources against the conventions that DEVELOPERS.md states.

usage: lint.py BUILD LAYER...    BUILD is where the modules' objects are; layers lowest first
"""

import pathlib
import re
import shutil
import subprocess
import sys

import lint_modules

FUNCTION_LINES_MAX = 60
PARAMETERS_MAX = 6
# What a library calls, and so has the parameters it prescribes.
PRESCRIBED = {("src/page/server.c", "handle")}
PRINTING_LAYERS = {"output", "commands"}

# One library, one home: which files may include the headers that begin so.
HOMES = {
    "apriltag/": {"src/location/tag.c"},
    "cairo": {"src/output/canvas.c", "src/output/print.c"},
    "csv.h": {"src/files/csv.c"},
    "glpk": {"src/analysis/programme.c"},
    "gsl/": {"src/values/linear.c", "src/values/interval.c", "src/values/statistics.c"},
    "jansson": {"src/output/json.c"},
    "jpeglib.h": {"src/files/jpeg_file.c", "src/files/jpeg_source.c"},
    "jerror.h": {"src/files/jpeg_file.c", "src/files/jpeg_source.c"},
    "setjmp.h": {"src/files/jpeg_file.c", "src/analysis/programme.c"},
    "lcms2": {"src/values/colour.c", "src/files/card.c", "src/files/profile.c",
              "src/correction/icc.c", "src/output/palette_cgats.c"},
    "libexif/": {"src/files/exif.c"},
    "libheif/": {"src/files/heif_file.c"},
    "arpa/inet.h": {"src/page/server.c"},
    "ifaddrs.h": {"src/page/server.c"},
    "microhttpd.h": {"src/page/server.c"},
    "netinet/in.h": {"src/page/server.c"},
    "sys/socket.h": {"src/page/server.c"},
    "pthread.h": {"src/page/queue.c"},
    "qrencode.h": {"src/output/qr.c"},
    "pango/": {"src/output/print.c"},
    "libraw/": {"src/files/raw_file.c"},
    "png.h": {"src/files/png_file.c"},
    "seccomp.h": {"src/commands/confinement.c"},
    "sqlite3.h": {"src/inventory/database.h"},
    "tiffio.h": {"src/files/tiff_file.c", "src/files/tiff_picture.c"},
    "utf8proc.h": {"src/base/utf8.c"},
    "xxhash.h": {"src/files/content.c"},
}
STANDARD = set("""assert ctype dirent errno float inttypes limits locale math signal spawn stdarg stdbool stddef
    stdint stdio stdlib string strings time fcntl unistd poll sys/ioctl sys/stat sys/types sys/wait
    """.split())

INCLUDE = re.compile(r'^#include ([<"])([^>"]+)[>"]')
PRINTING = re.compile(r"\b(printf|puts|putchar|perror|stdout|stderr)\b")


TOP_LEVEL = {"README.md", "DEVELOPERS.md", "Makefile", "src", "include", "tests", "testimages",
             "calibration", "LICENSE"}


def sources(*folders):
    """Each C file below the folders, with its lines."""
    for folder in folders:
        for path in sorted(pathlib.Path(folder).rglob("*.[ch]")):
            yield path, path.read_text(encoding="utf-8").splitlines()


def includes(quote):
    for path, lines in sources("include", "src"):
        for number, line in enumerate(lines, 1):
            match = INCLUDE.match(line)
            if match and match[1] == quote:
                yield path, f"{path}:{number}", match[2]


def includes_that_point_up(layers):
    for path, place, name in includes('"'):
        if "/" not in name:
            if not (path.parent / name).exists() or path.parts[0] != "src":
                yield f"{place}: {name} is no header beside this file"
            continue
        own, other = path.parts[1], name.split("/")[0]
        if other not in layers or not pathlib.Path("include", name).exists():
            yield f"{place}: {name} is no header of a layer"
        elif layers.index(other) > layers.index(own):
            yield f"{place}: {own} lies below {other}"


def public_headers():
    """Each header of include/ that another layer includes, itself or through such a header."""
    wanted = {name for path, _, name in includes('"')
              if path.parts[0] == "src" and name.split("/")[0] != path.parts[1]}
    within = {}
    for path, _, name in includes('"'):
        if path.parts[0] == "include":
            within.setdefault(str(path.relative_to("include")), set()).add(name)
    waiting = list(wanted)
    while waiting:
        new = within.get(waiting.pop(), set()) - wanted
        wanted |= new
        waiting += new
    return wanted


def headers_no_other_layer_sees():
    wanted = public_headers()
    for path in sorted(pathlib.Path("include").rglob("*.h")):
        if str(path.relative_to("include")) not in wanted:
            yield f"{path}: only its own layer sees it; it belongs beside its sources"


def libraries_away_from_home():
    for path, place, name in includes("<"):
        homes = next((files for prefix, files in HOMES.items() if name.startswith(prefix)), None)
        if homes is None and name.removesuffix(".h") not in STANDARD:
            yield f"{place}: <{name}> has no home in tests/lint.py"
        elif homes is not None and str(path) not in homes:
            yield f"{place}: <{name}> is at home in {', '.join(sorted(homes))}"


def printing_below():
    for path, lines in sources("src"):
        if path.parts[1] in PRINTING_LAYERS:
            continue
        for number, line in enumerate(lines, 1):
            if PRINTING.search(re.sub(r'"[^"]*"|/?\*.*', "", line)):
                yield f"{path}:{number}: only {' and '.join(sorted(PRINTING_LAYERS))} print"


def functions():
    """Each function: where it begins, its head and how many lines it has, head and all.

    Rests on the layout clang-format gives: braces of functions, and only those, in column one.
    """
    for path, lines in sources("src", "include", "tests"):
        for begin in (i for i, line in enumerate(lines) if line == "{"):
            end = lines.index("}", begin)
            head = begin
            while head and re.match(r"\w|  ", lines[head - 1]) and not lines[head - 1].endswith(";"):
                head -= 1
            yield f"{path}:{head + 1}", " ".join(lines[head:begin]), end - head + 1


def functions_too_long():
    for place, _, length in functions():
        if length > FUNCTION_LINES_MAX:
            yield f"{place}: {length} lines; at most {FUNCTION_LINES_MAX}"


def name_of(head):
    return re.match(r"[^(]*?(\w+)\(", head)[1]


def parameters_of(head):
    """How many parameters a function's head has; the commas within brackets don't part them."""
    inner = head[head.find("(") + 1:head.rfind(")")]
    while re.search(r"[(\[][^()\[\]]*[)\]]", inner):
        inner = re.sub(r"[(\[][^()\[\]]*[)\]]", "", inner)
    return inner.count(",") + 1


def functions_with_too_many_parameters():
    for place, head, _ in functions():
        if parameters_of(head) > PARAMETERS_MAX and (place.split(":")[0], name_of(head)) not in PRESCRIBED:
            yield f"{place}: {parameters_of(head)} parameters; at most {PARAMETERS_MAX}"


def state_that_changes(build):
    """What the compiler put where it can be written; tables of constant pointers are not there."""
    for source, made in lint_modules.objects(build):
        symbols = subprocess.run(["objdump", "-t", made], capture_output=True, text=True, check=True)
        for line in symbols.stdout.splitlines():
            if re.search(r" O \.(data|bss|tdata|tbss)\s", line) or " O *COM*" in line:
                yield f"{source}: {line.split()[-1]} can change and outlives its function"


def layout():
    if not shutil.which("clang-format"):
        return
    paths = [path for path, _ in sources("src", "include", "tests")]
    result = subprocess.run(["clang-format", "--dry-run", *paths], capture_output=True, text=True)
    yield from sorted({line.split(":")[0] + ": `make format` lays it out"
                       for line in result.stderr.splitlines() if "[-Wclang-format" in line})


def scripts():
    for path in [pathlib.Path(".ci/run"), *sorted(pathlib.Path("tests").rglob("*.sh"))]:
        words = ["sh", "-n", path]
        if shutil.which("shellcheck") and path.read_text(encoding="utf-8").startswith("#!"):
            words = ["shellcheck", path]
        result = subprocess.run(words, capture_output=True, text=True)
        if result.returncode:
            yield f"{path}: {words[0]} complains:\n{result.stdout}{result.stderr}"


def stale_documents():
    """What README.md and DEVELOPERS.md say that the sources no longer bear out."""
    table = pathlib.Path("tests/accuracy/table.txt").read_text(encoding="utf-8").splitlines()
    readme = pathlib.Path("README.md").read_text(encoding="utf-8")
    head = next(i for i, line in enumerate(table) if line.split()[:2] == ["photos", "refused"])
    for line in table[head:table.index("", head)]:
        if f"    {line}\n" not in readme:
            yield f"README.md lacks this line of tests/accuracy/table.txt: {line}"
    yield from faults_of_the_tour()


def faults_of_the_tour():
    """The source tour names each module once, in its layer: lines merged from two sides stand twice."""
    text = pathlib.Path("DEVELOPERS.md").read_text(encoding="utf-8")
    tour = text.partition("## Source tour")[2].partition("\n## ")[0]
    parts = re.split(r"^\*\*(\w+)\*\*$", tour, flags=re.M)
    named = {layer: re.findall(r"`(\w+)`", part) for layer, part in zip(parts[1::2], parts[2::2])}
    for path, _ in sources("src"):
        times = named.get(path.parts[1], []).count(path.stem)
        if times > 1 or (times == 0 and path.suffix == ".c"):
            yield f"DEVELOPERS.md names {path} {times} times in its source tour; once is wanted"
    known = {path.stem for folder in ("src", "include", "tests") for path in pathlib.Path(folder).rglob("*.*")}
    for layer, names in named.items():
        for name in sorted(set(names) - known):
            yield f"DEVELOPERS.md names {name} in its tour of {layer}; no file is called so"


def top_level():
    """What lies in the top folder is fixed; files beginning with a dot, and what git ignores, do not
    count."""
    listed = subprocess.run(["git", "ls-files", "--cached", "--others", "--exclude-standard"],
                            capture_output=True, text=True, check=False).stdout.splitlines()
    for name in sorted({path.split("/")[0] for path in listed if pathlib.Path(path).exists()}):
        if not name.startswith(".") and name not in TOP_LEVEL:
            yield f"{name} does not belong in the top folder"


def main(words):
    if len(words) < 2:
        raise SystemExit(__doc__)
    build, layers = words[0], words[1:]
    modules = lint_modules.Modules(build)
    rules = {
        "every include points down or sideways": includes_that_point_up(layers),
        "include/ holds only what another layer sees": headers_no_other_layer_sees(),
        "a public name begins with its module's": lint_modules.names_of_others(modules),
        "a public symbol has a user outside its file": lint_modules.without_a_user(modules),
        "every name that is defined is used": lint_modules.unused_names(),
        "no modules need one another in a circle": lint_modules.circles(modules),
        "what can fail says what it returns": lint_modules.without_returns(),
        "every library is included only in its home": libraries_away_from_home(),
        "only the top layers print": printing_below(),
        f"no function has more than {FUNCTION_LINES_MAX} lines": functions_too_long(),
        f"no function has more than {PARAMETERS_MAX} parameters":
            functions_with_too_many_parameters(),
        "no state outlives its function": state_that_changes(build),
        "every file is laid out by .clang-format": layout(),
        "the top folder holds what it should": top_level(),
        "every script is sound": scripts(),
        "the documents are up to date": stale_documents(),
    }
    failed = 0
    for rule, faults in rules.items():
        found = list(faults)
        failed += bool(found)
        print(f"{'FAILED' if found else 'passed'}: {rule}")
        for fault in found:
            print(f"    {fault}")
    print(f"{len(rules) - failed} passed, {failed} failed")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
