"""Show that each rule of lint.py complains of the fault it is there for, and of no other: in a small
invented tree that keeps all rules, one fault is planted at a time.

usage: lint_test.py
"""

import concurrent.futures
import os
import pathlib
import subprocess
import sys
import tempfile

LINT = pathlib.Path(__file__).resolve().with_name("lint.py")
LAYERS = ["low", "high", "commands"]

GUARD = "#ifndef {0}\n#define {0}\n\n{1}\n#endif\n"
TREE = {
    "include/low/leaf.h": GUARD.format("LEAF_H", """\
#define LEAF_MAX 3

enum status { STATUS_OK, STATUS_DRY };

struct error {
    int code;
};

struct leaf {
    int size;
};

/**
 * Grow it.
 *
 * Returns: STATUS_OK.
 */
enum status leaf_grow(struct leaf *leaf, struct error *error);
"""),
    "src/low/leaf.c": """\
#include "low/leaf.h"

#include "twig.h"

enum status leaf_grow(struct leaf *leaf, struct error *error)
{
    error->code = twig_count(LEAF_MAX);
    leaf->size += error->code;
    return leaf->size > 0 ? STATUS_OK : STATUS_DRY;
}
""",
    "src/low/twig.h": GUARD.format("TWIG_H", "int twig_count(int most);\n"),
    "src/low/twig.c": """\
#include "twig.h"

int twig_count(int most)
{
    return most + 1;
}
""",
    "include/high/tree.h": GUARD.format("TREE_H", "int tree_height(int years);\n"),
    "src/high/tree.c": """\
#include "high/tree.h"

#include "low/leaf.h"

int tree_height(int years)
{
    struct leaf leaf = {years};
    struct error error = {0};

    return leaf_grow(&leaf, &error) ? 0 : leaf.size;
}
""",
    "src/commands/main.c": """\
#include "high/tree.h"

#include <stdio.h>

int main(void)
{
    return printf("%d\\n", tree_height(2)) < 0;
}
""",
    "tests/accuracy/table.txt": "photos refused\nall 1.0\n\n",
    "README.md": "    photos refused\n    all 1.0\n",
    "DEVELOPERS.md": "## Source tour\n\n**low**\n`leaf` `twig`\n\n**high**\n`tree`\n\n**commands**\n`main`\n",
    ".ci/run": "exit 0\n",
    ".gitignore": "/build/\n",
    ".clang-format": (LINT.parents[1] / ".clang-format").read_text(encoding="utf-8"),
}

# The rule that must complain; the file spoilt; what of it is replaced, "" for all of it; by what.
LONG = "int twig_count(int most)\n{\n" + "    most++;\n" * 60 + "    return most;\n}\n"
FAULTS = [
    ("every include points down or sideways", "src/low/twig.c", '#include "twig.h"\n',
     '#include "twig.h"\n\n#include "high/tree.h"\n'),
    ("include/ holds only what another layer sees", "include/low/moss.h", "",
     GUARD.format("MOSS_H", "/* nobody's */\n")),
    ("no modules need one another in a circle", "src/low/twig.c",
     "int twig_count(int most)\n{\n    return most + 1;",
     "#include \"low/leaf.h\"\n\nint twig_count(int most)\n{\n    struct leaf leaf = {most};\n"
     "    struct error error = {0};\n\n    return leaf_grow(&leaf, &error);"),
    ("what can fail says what it returns", "include/low/leaf.h", " *\n * Returns: STATUS_OK.\n", ""),
    ("every library is included only in its home", "src/low/twig.c", '#include "twig.h"\n',
     '#include "twig.h"\n\n#include <png.h>\n'),
    ("only the top layers print", "src/low/twig.c", "    return most + 1;",
     "    extern int puts(const char *);\n\n    return puts(\"\") + most;"),
    ("no function has more than 60 lines", "src/low/twig.c",
     "int twig_count(int most)\n{\n    return most + 1;\n}\n", LONG),
    ("no function has more than 6 parameters", "src/low/twig.c",
     "int twig_count(int most)\n{\n    return most + 1;",
     "static int seven(int a, int b, int c, int d, int e, int f, int g)\n{\n"
     "    return a + b + c + d + e + f + g;\n}\n\nint twig_count(int most)\n{\n"
     "    return seven(1, 2, 3, 4, 5, 6, most);"),
    ("no state outlives its function", "src/low/twig.c", "    return most + 1;",
     "    static int calls;\n\n    return most + ++calls;"),
    ("every file is laid out by .clang-format", "src/low/twig.c", "    return", "      return"),
    ("the top folder holds what it should", "notes.txt", "", "mine\n"),
    ("every script is sound", ".ci/run", "exit 0", "if exit 0"),
    ("the documents are up to date", "DEVELOPERS.md", " `twig`", ""),
    ("the documents are up to date", "DEVELOPERS.md", "`tree`", "`tree`, `tree`"),
    ("the documents are up to date", "DEVELOPERS.md", "`tree`", "`tree` with `moss`"),
    ("the documents are up to date", "README.md", "1.0", "0.9"),
    ("a public name begins with its module's", "", None, ("tree_height", "height_of_tree")),
    ("a public symbol has a user outside its file", "src/commands/main.c", "tree_height(2)", "2"),
    ("a public symbol has a user outside its file", "src/low/leaf.c", "twig_count(LEAF_MAX)", "LEAF_MAX"),
    ("every name that is defined is used", "include/low/leaf.h", "#define LEAF_MAX 3\n",
     "#define LEAF_MAX 3\n#define LEAF_MIN 1\n"),
    ("every name that is defined is used", "include/low/leaf.h", "    int size;\n",
     "    int size;\n    int colour;\n"),
    ("every name that is defined is used", "src/low/leaf.c", "\nenum", "\n#define DRY 1\n\nenum"),
    ("every name that is defined is used", "include/low/leaf.h", "STATUS_DRY }",
     "STATUS_DRY, STATUS_ODD }"),
]


def build(root):
    """Write the tree's objects into build/, so far as it compiles."""
    for source in sorted(root.glob("src/*/*.c")):
        made = root / "build" / source.parent.name / f"{source.stem}.o"
        made.parent.mkdir(parents=True, exist_ok=True)
        subprocess.run(["cc", "-std=c11", "-Iinclude", "-c", "-o", made, source.relative_to(root)],
                       cwd=root, check=True, capture_output=True)


def complaints(files):
    """The rules that lint.py says these files break, with what it says of them."""
    with tempfile.TemporaryDirectory() as folder:
        root = pathlib.Path(folder)
        write(root, files)
        build(root)
        result = subprocess.run([sys.executable, "-B", LINT, "build", *LAYERS], cwd=root,
                                capture_output=True, text=True)
    broken = [line.removeprefix("FAILED: ") for line in result.stdout.splitlines()
              if line.startswith("FAILED: ")]
    words = [line for line in result.stdout.splitlines() if not line.startswith("passed: ")]
    return broken, "\n".join(words) + result.stderr


def write(root, files):
    for name, text in files.items():
        path = root / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    subprocess.run(["git", "init", "-q"], cwd=root, check=True)


def spoilt(name, old, new):
    """The files of the tree with one fault; `old` None renames all over, "" replaces the whole file."""
    if old is None:
        return {path: text.replace(*new) for path, text in TREE.items()}
    text = TREE.get(name, "")
    assert old in text, f"{name} has no {old!r} to spoil"
    return TREE | {name: text.replace(old, new, 1) if old else new}


def main():
    cases = [(None, TREE)] + [(rule, spoilt(name, old, new)) for rule, name, old, new in FAULTS]
    failed = 0
    with concurrent.futures.ThreadPoolExecutor(os.cpu_count()) as threads:
        for (rule, _), (broken, words) in zip(cases, threads.map(complaints, (c[1] for c in cases))):
            if broken != ([rule] if rule else []):
                failed += 1
                print(f"failed: {rule or 'no fault'}: lint says\n{words}")
    print(f"{len(cases) - failed} passed, {failed} failed")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
