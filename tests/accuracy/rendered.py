"""Rendered photos, each made once and kept under BUILD/photos until the renderer changes."""

import hashlib
import os
import pathlib
import shutil
import subprocess
import tempfile

ENDINGS = {"png8": ".png", "png16": ".png", "dng": ".dng", "dng-linear": ".dng"}


def album(build):
    """The folder of this renderer's photos; those of earlier ones are removed."""
    version = hashlib.sha256((build / "scene").read_bytes()).hexdigest()[:12]
    folder = build / "photos" / version
    folder.mkdir(parents=True, exist_ok=True)
    for other in folder.parent.iterdir():
        if other != folder:
            shutil.rmtree(other, ignore_errors=True)
    return folder


class Rendered:
    """A photo's paths: rendered now, unless the same options were rendered before.

    The photo is `path`, its truth `truth`, its names `names`. `options` are those of
    `scene plain`.
    """

    def __init__(self, build, folder, name, options):
        words = [str(word) for word in options]
        key = hashlib.sha256(" ".join(words).encode()).hexdigest()[:10]
        stem = folder / f"{name}-{key}"
        chosen = dict(zip(words[::2], words[1::2]))
        self.path = pathlib.Path(f"{stem}{ENDINGS.get(chosen.get('--format'), '.jpg')}")
        self.truth, self.names = (pathlib.Path(f"{stem}.{kind}.csv") for kind in ("truth", "names"))
        if not self.truth.exists():
            self.render(build, words)

    def render(self, build, words):
        """Into a folder of its own first; the truth comes last, so that what is there is whole."""
        with tempfile.TemporaryDirectory(dir=self.path.parent) as folder:
            made = pathlib.Path(folder)
            stem = self.truth.name.removesuffix(".truth.csv")
            subprocess.run([build / "scene", "plain", made / stem, *words], check=True)
            for file in (self.path, self.names, self.truth):
                os.replace(made / file.name, file)
