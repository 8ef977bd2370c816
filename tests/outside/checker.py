"""An outside program's inspection of a house folder, written from the file contract alone.

It imports nothing of the project: numpy, scipy and the standard library only.  A finding names the
check that made it, some cells, and says in one sentence what is wrong.

    python -m tests.outside.checker DIR...      exit 0: nothing found, 1: findings, 2: not a folder
"""

from __future__ import annotations

import sys
import zlib
from collections.abc import Sequence
from pathlib import Path
from zipfile import BadZipFile

import numpy as np

from tests.outside.cells import House, beyond, cells
from tests.outside.files import BESIDE, FILES, asked_light, outline, plans
from tests.outside.light import LEAST, light
from tests.outside.tables import Arrays, Finding, check_tables
from tests.outside.walk import reached, walk


def check_folder(folder: Path) -> list[Finding]:
    """Every finding in a house folder."""
    found = [Finding("files", (), f"{n} is missing") for n in FILES if not (folder / n).is_file()]
    arrays = _load(folder / "house.npz", found)
    table = [] if arrays is None else list(check_tables(arrays))
    house = None if arrays is None or table else House(arrays)
    found += table or (_inspect(house, asked_light(folder), outline(folder)) if house else [])
    for name, check in BESIDE.items():
        if (folder / name).is_file():
            found += check(folder / name, house)
    return found + (list(plans(folder, house)) if house else [])


def check_arrays(
    arrays: Arrays, lux: float = LEAST, corners: Sequence[Sequence[int]] = ()
) -> list[Finding]:
    """Every finding in the arrays of ``house.npz`` (a dict of them, or the opened file).

    lux: what the brief asks for on every floor at night.  corners: of the plot's outline, where it has one.
    """
    return list(check_tables(arrays)) or _inspect(House(arrays), lux, corners)


def _inspect(house: House, lux: float, corners: Sequence[Sequence[int]]) -> list[Finding]:
    places = reached(house)
    return [
        *cells(house),
        *beyond(house, corners),
        *walk(house, places),
        *light(house, places, lux),
    ]


def _load(path: Path, found: list[Finding]) -> Arrays | None:
    if not path.is_file():
        return None
    try:
        with path.open("rb") as file, np.load(file, allow_pickle=False) as opened:
            return {key: opened[key] for key in opened.files}
    except (ValueError, OSError, EOFError, BadZipFile, zlib.error, TypeError) as error:
        found.append(Finding("arrays", (), f"house.npz does not load without pickle: {error}"))
        return None


def main(folders: list[str]) -> int:
    """Print the findings in each folder; 0 where there are none, 1 where there are, 2 on misuse."""
    wrong = [name for name in folders if not Path(name).is_dir()]
    if wrong or not folders:
        print(f"not a folder: {wrong[0]}" if wrong else "usage: checker DIR...", file=sys.stderr)
        return 2
    found = [(name, f) for name in folders for f in check_folder(Path(name))]
    for name, f in found:
        print(f"{name}: {f.check}: {f.sentence}{f' at {f.where[0]}' if f.where else ''}")
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
