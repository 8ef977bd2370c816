"""The two sides of a comparison: a survey's folder, a saved house, or an installed genhouse.

Each becomes a folder with rows, and, where it can still make a house of a recipe, says how.
"""

from __future__ import annotations

import os
import subprocess
from collections.abc import Callable
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory

from genhouse.core.errors import BriefError, GenhouseError, UnreadableError
from genhouse.core.reading import said
from genhouse.core.sentences import sentence
from genhouse.core.version import build
from genhouse.generate.remade import line, read_recipe, recipe_text
from genhouse.house import House, load, make
from genhouse.model.voxels import Voxels
from genhouse.outputs.arrays import read_voxels
from genhouse.outputs.written import HOUSE
from genhouse.survey.request import DOCUMENT_FILE, read_document
from genhouse.survey.row import saved_row
from genhouse.survey.store import opened

Maker = Callable[[str], Voxels | None]
"""The cells of the house of a recipe, written as JSON; None where there is no such house."""
SURVEY = "from genhouse.cli.start import start; start()"
Side = tuple[Path, Maker | None]


def sides(old: Path, new: Path, seeds: range, scratch: Path) -> tuple[Side, Side]:
    """Both sides.  seeds: those that an interpreter surveys.  scratch: an empty folder.

    Two houses are compared whatever their recipes.  Raises BriefError or UnreadableError.
    """
    folders = [scratch / name for name in ("old", "new")]
    for folder in folders:
        folder.mkdir()
    if all((place / HOUSE.file).is_file() for place in (old, new)):
        house = load(new)
        alike = recipe_text(house.recipe)
        return _of_house(load(old), folders[0], alike), _of_house(house, folders[1], alike)
    return _side(old, seeds, folders[0]), _side(new, seeds, folders[1])


def _side(place: Path, seeds: range, scratch: Path) -> Side:
    if (place / HOUSE.file).is_file():
        house = load(place)
        return _of_house(house, scratch, recipe_text(house.recipe))
    if (place / DOCUMENT_FILE).is_file():
        _, of = read_document(place)
        return place, _made_here if of == build() else None
    if place.is_file() and os.access(place, os.X_OK):
        return _of_interpreter(place, seeds, scratch)
    raise UnreadableError(
        f"{said(place)} is none of a survey, a house's folder and a Python with genhouse"
    )


def _made_here(recipe: str) -> Voxels | None:
    try:
        return make(read_recipe(recipe)).voxels
    except GenhouseError:
        return None


def _of_house(house: House, scratch: Path, recipe: str) -> Side:
    """recipe: what stands for its own."""
    with opened(scratch, new=True) as table:
        table.append([saved_row(house, recipe)])
    return scratch, lambda _: house.voxels


def _of_interpreter(python: Path, seeds: range, scratch: Path) -> Side:
    folder = scratch / "survey"
    words = ["survey", f"{seeds.start}:{seeds.stop}", "--out", str(folder)]
    done = _run(python, SURVEY, *words)
    if done.returncode not in (0, 1) or not folder.is_dir():
        said_there = sentence(done.stderr.strip().splitlines()[-1]) if done.stderr.strip() else ""
        raise BriefError(f"{said(python)} cannot survey with its genhouse: {said_there}")
    return folder, partial(_made_by, python)


def _made_by(python: Path, recipe: str) -> Voxels | None:
    with TemporaryDirectory() as place:
        folder = Path(place) / "house"
        call = line(read_recipe(recipe))
        done = _run(python, f"import genhouse; {call}.save({str(folder)!r})")
        return read_voxels(folder / "house.npz") if done.returncode == 0 else None


def _run(python: Path, code: str, *words: str) -> subprocess.CompletedProcess[str]:
    command = [str(python), "-c", code, *words]
    return subprocess.run(command, capture_output=True, text=True, check=False)
