"""Take away: a house as its folder, whole in one archive, or file by file."""

from __future__ import annotations

import io
import re
import zipfile
from pathlib import Path

from genhouse.core.errors import WriteError
from genhouse.desk.made import files_of, house_of
from genhouse.desk.task import UNKNOWN, Answer, sentence, told
from genhouse.model.brief import Recipe
from genhouse.outputs.files import write_folder
from genhouse.outputs.names import starter

KINDS = {
    "html": "text/html; charset=utf-8",
    "png": "image/png",
    "svg": "image/svg+xml",
    "csv": "text/csv; charset=utf-8",
    "json": "application/json",
    "zip": "application/zip",
}
LONGEST = 40
"""Letters of a folder's name."""
DEVICES = re.compile(r"con|prn|aux|nul|(com|lpt)[0-9]")
"""Names that one system keeps for devices (Microsoft, "Naming Files, Paths, and Namespaces")."""
EARLIEST = (1980, 1, 1, 0, 0, 0)
"""A date that an archive must have, and that says nothing."""


def whole(recipe: Recipe, names: str = "") -> Answer:
    """Its folder as one archive.  names: a table of the builder's own."""
    file, folder = io.BytesIO(), f"house-{recipe.seed}"
    with zipfile.ZipFile(file, "w") as archive:
        for name, contents in sorted(files_of(recipe, names).items()):
            entry = zipfile.ZipInfo(f"{folder}/{name}", EARLIEST)
            entry.compress_type = zipfile.ZIP_DEFLATED
            archive.writestr(entry, contents)
    return Answer(file.getvalue(), KINDS["zip"], name=f"{folder}.zip")


def one(recipe: Recipe, file: str = "guide.html", names: str = "") -> Answer:
    """One of its files."""
    files = files_of(recipe, names)
    if file not in files:
        return sentence(f"file: it is {', '.join(sorted(files))}", UNKNOWN)
    kind = KINDS.get(file.rpartition(".")[2], "application/octet-stream")
    return Answer(files[file], kind, name=f"house-{recipe.seed}-{file.replace('/', '-')}")


def listed(recipe: Recipe, names: str = "") -> Answer:
    """The names and sizes of its files."""
    files = sorted(files_of(recipe, names).items())
    return told([{"name": name, "bytes": len(contents)} for name, contents in files])


def to_fill_in(recipe: Recipe) -> Answer:
    """A table of its materials, for a builder's own names."""
    return Answer(starter(house_of(recipe).voxels), KINDS["csv"], name="names.csv")


def saved(recipe: Recipe, into: str, name: str, names: str = "") -> Answer:
    """Write its folder into the desk's own.  Raises WriteError where the name is taken, or is none."""
    clean = cleaned(name)
    if not clean:
        raise WriteError("name: it wants letters, figures and hyphens, such as mill-house")
    target = Path(into).resolve() / clean
    if target.exists() or target.is_symlink():
        raise WriteError(f"name: there is a {clean} already; another name would work")
    target.parent.mkdir(exist_ok=True)
    write_folder(target, files_of(recipe, names), force=False)
    return told({"folder": clean})


def cleaned(name: str) -> str:
    """A name of a folder that leads nowhere else: letters, figures and hyphens.

    >>> cleaned("../Mill House, 2")
    'mill-house-2'
    """
    clean = re.sub(r"[^a-z0-9]+", "-", name[:LONGEST].lower()).strip("-")
    return f"house-{clean}" if DEVICES.fullmatch(clean) else clean
