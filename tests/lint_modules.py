"""What modules promise of each other: held against the compiled objects and the headers.

A module is a source file; what it offers are the symbols of its object.
"""

import collections
import pathlib
import re
import subprocess

# A table names functions of others without calling them, and some of these print the table.
TABLES = {pathlib.Path("src/commands/commands.c")}

COMMENT = re.compile(r"/\*.*?\*/|//[^\n]*", re.S)
TEXT = re.compile(r'"(?:[^"\\\n]|\\.)*"')


def objects(build):
    """Each source with the object made of it."""
    for source in sorted(pathlib.Path("src").rglob("*.c")):
        yield source, pathlib.Path(build, *source.parts[1:]).with_suffix(".o")


class Modules:
    """Which source defines each public symbol, and which others each source needs."""

    def __init__(self, build):
        self.home, wanted = {}, {}
        for source, made in objects(build):
            listed = subprocess.run(["nm", "-g", made], capture_output=True, text=True, check=True)
            wanted[source] = set()
            for *_, kind, symbol in (line.split() for line in listed.stdout.splitlines()):
                if kind == "U":
                    wanted[source].add(symbol)
                else:
                    self.home[symbol] = source
        self.needs = {source: {self.home[symbol] for symbol in symbols if symbol in self.home}
                      for source, symbols in wanted.items() if source not in TABLES}


def headers():
    for folder in ("include", "src"):
        yield from sorted(pathlib.Path(folder).rglob("*.h"))


def code(path):
    """A file's text without comments and quoted text."""
    return COMMENT.sub(" ", TEXT.sub('""', path.read_text(encoding="utf-8")))


def declared():
    """The header that declares each public name."""
    found = {}
    for path in headers():
        for name in re.findall(r"\b(\w+)(?:\(|\[[^;]*\];|[;,])", code(path)):
            found.setdefault(name, path)
    return found


def names_of_others(modules):
    """Public symbols that don't begin with their module's name or the first words of it, the layer's,
    or that of a struct which a header of the layer defines."""
    header_of = declared()
    structs = collections.defaultdict(set)
    for path in headers():
        structs[path.parts[1]] |= set(re.findall(r"^(?:struct|enum) (\w+) \{", code(path), re.M))
    for symbol, home in sorted(modules.home.items()):
        if symbol == "main":
            continue
        if symbol not in header_of:
            yield f"{home}: {symbol} is in no header"
            continue
        words = home.stem.split("_")
        nouns = {"_".join(words[:count + 1]) for count in range(len(words))}
        nouns |= {header_of[symbol].stem, home.parts[1]}
        wanted = nouns | structs[home.parts[1]]
        if not any(symbol == noun or symbol.startswith(noun + "_") for noun in wanted):
            yield f"{home}: {symbol} begins with none of {', '.join(sorted(nouns))}"


def circles(modules):
    """Modules of one layer that call one another, be it through others: none of them can be read or
    tested alone."""
    reached = {}
    for own in modules.needs:
        reached[own], waiting = set(), list(modules.needs[own])
        while waiting:
            other = waiting.pop()
            if other not in reached[own]:
                reached[own].add(other)
                waiting += modules.needs.get(other, ())
    told = set()
    for own in sorted(reached):
        circle = sorted(other for other in reached[own] if own in reached.get(other, ()) and other != own)
        if circle and own not in told:
            told.update(circle)
            yield f"{own} and {', '.join(str(other) for other in circle)} need one another"


def without_returns():
    """Prototypes of headers that can fail, and whose comment, their own or that of the group they
    stand in, does not say what they return."""
    for path in headers():
        text = path.read_text(encoding="utf-8")
        comments = list(re.finditer(r"^/\*.*?\*/\n", text, re.M | re.S))
        for match in re.finditer(r"^(?:MUST_USE )?enum status (\w+)\(", text, re.M):
            own = [comment[0] for comment in comments if comment.end() <= match.start()]
            if not own or "Returns:" not in own[-1]:
                yield f"{path}: {match[1]} lacks a `Returns:` in its comment"


def tests():
    return "\n".join(code(path) for path in sorted(pathlib.Path("tests").rglob("*.[ch]")))


def without_a_user(modules):
    """Public symbols that no other source or test names, be it where a library is left out."""
    named = {path: set(re.findall(r"\w+", code(path))) for folder in ("src", "tests")
             for path in pathlib.Path(folder).rglob("*.[ch]") if path.parts[0] != "src" or path.suffix == ".c"}
    for symbol, home in sorted(modules.home.items(), key=lambda item: (item[1], item[0])):
        if symbol != "main" and not any(symbol in words for path, words in named.items() if path != home):
            yield f"{home}: {symbol} is used by no other file: it is static, or dead"


def unused_names():
    """What is defined and nowhere named: macros; of headers, too, enums' values, inline functions and
    members."""
    text = {path: code(path) for folder in ("include", "src")
            for path in pathlib.Path(folder).rglob("*.[ch]")}
    words = [word for one in [*text.values(), tests()] for word in re.findall(r"\w+", one)]
    counts = collections.Counter(words)
    for path in headers():
        names = re.findall(r"^#define (\w+)", text[path], re.M)
        names += re.findall(r"^static inline .*?(\w+)\(", text[path], re.M)
        for body in re.findall(r"^enum \w+ \{(.*?)\}", text[path], re.M | re.S):
            names += re.findall(r"(\w+)(?:\s*=[^,]*)?\s*(?:,|$)", body.strip())
        for name in names:
            if counts[name] < 2 and not name.endswith("_H"):
                yield f"{path}: {name} is used nowhere"
        yield from unread_members(path, text)
    for path in (path for path in text if path.suffix == ".c"):
        for name in re.findall(r"^#define ([A-Za-z]\w*)", text[path], re.M):
            if len(re.findall(rf"\b{name}\b", text[path])) < 2:
                yield f"{path}: {name} is used nowhere"


def unread_members(path, text):
    for struct, body in re.findall(r"^struct (\w+) \{(.*?)^\};", text[path], re.M | re.S):
        for member in re.findall(r"(\w+)\)?(?:\[[^;]*?\]|\([^;]*?\))*(?=\s*[;,])", body):
            if not any(re.search(rf"(?:\.|->){member}\b", one) for one in text.values()):
                yield f"{path}: {struct}.{member} is used nowhere"
