"""A source changed in one place: compiled apart from the tree, and linked before the archive of all
modules, so that its object stands in for the one made of the source as it is.

The compiler and its flags come from the Makefile by the environment: CC, FLAGS, LINKS.
"""

import os
import pathlib
import re
import shlex
import subprocess

COMMENT_OR_TEXT = re.compile(r"/\*.*?\*/|//[^\n]*|\"(?:[^\"\\\n]|\\.)*\"|'(?:[^'\\\n]|\\.)*'"
                             r"|^#include[^\n]*", re.S | re.M)


def words(name):
    return shlex.split(os.environ[name])


def blanked(text):
    """The text with comments, quoted text and includes blanked out; every place stays."""
    return COMMENT_OR_TEXT.sub(lambda match: re.sub(r"[^\n]", " ", match[0]), text)


def compiled(folder, path, text, include=None):
    """The object of a source, `path` in the tree, with other text; None if that does not compile.
    Headers in `folder` and `include` go before the tree's."""
    source, made = folder / path.name, folder / f"{path.stem}.o"
    source.write_text(text, encoding="utf-8")
    flags = [flag for flag in words("FLAGS") if not flag.startswith(("-W", "-M"))]
    result = subprocess.run([*words("CC"), f"-I{include or folder}", f"-I{folder}", *flags,
                             f"-I{path.parent}", "-w", "-g0",
                             "-c", "-o", made, source], capture_output=True)
    return made if result.returncode == 0 else None


def linked(program, objects, build):
    subprocess.run([*words("CC"), "-o", program, *objects, build / "libwoad.a", *words("LINKS")],
                   check=True)
    return program


def includers(header):
    """The sources that a header reaches, itself or through others."""
    texts = {path: path.read_text(encoding="utf-8")
             for folder in ("include", "src") for path in pathlib.Path(folder).rglob("*.[ch]")}
    reached, waiting = set(), [header]
    while waiting:
        one = waiting.pop()
        names = {one.name} if one.parts[0] == "src" else {"/".join(one.parts[1:])}
        for path, text in texts.items():
            beside = one.parts[0] != "src" or path.parent == one.parent
            if path not in reached and beside and any(f'#include "{n}"' in text for n in names):
                reached.add(path)
                waiting += [path] if path.suffix == ".h" else []
    return sorted(path for path in reached if path.suffix == ".c")
