"""Planted faults: each is found by its own check and by no other."""

from __future__ import annotations

import re
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from tests.outside.checker import check_arrays, check_folder, main
from tests.outside.specimen import Arrays, put, sealed, specimen, write

Change = Callable[[Arrays, dict[str, Any]], object]


def piece(cells: Any, material: str, form: str, stage: str) -> Change:
    return lambda arrays, _: put(arrays, cells, material, form, stage)


def taken(*cells: Any) -> Change:
    return both(*(piece(at, "air", "air", "air") for at in cells))


def number(key: str, cell: Any, value: int) -> Change:
    return lambda arrays, _: arrays[key].__setitem__(cell, value)


def told(**words: Any) -> Change:
    return lambda _, about: about.update(words)


def entry(table: str, n: int, **words: Any) -> Change:
    return lambda _, about: about[table][n].update(words)


def cast(key: str, dtype: Any) -> Change:
    return lambda arrays, _: arrays.update({key: arrays[key].astype(dtype)})


def both(*changes: Change) -> Change:
    return lambda arrays, about: [change(arrays, about) for change in changes]


def found(change: Change) -> set[str]:
    arrays, about = specimen()
    change(arrays, about)
    return {finding.check for finding in check_arrays(sealed(arrays, about))}


def ford(depth: str) -> Change:
    """A wall right across, and water as deep as this form in its only gap."""
    return both(
        piece(np.s_[:, 2, 1:3], "plaster", "whole", "walls"),
        taken(np.s_[6, 2, 2]),
        piece(np.s_[6, 1:4, 1], "earth", depth, "site"),
        piece(np.s_[6, 2, 1], "water", depth, "site"),
    )


def screen(chest: int, aside: int) -> Change:
    """Walls round a chest that stands in a corner of the hall's north side."""
    return both(
        piece(np.s_[[chest, aside], 7, 1:3], "plaster", "whole", "walls"),
        piece(np.s_[aside, 8, 1:3], "plaster", "whole", "walls"),
    )


moat = piece(np.s_[1:17, 3, 0], "water", "whole", "site")

ALLOWED: dict[str, Change] = {
    "nothing changed": told(),
    "version 1, with narrow forms": both(cast("form", np.uint8), told(version=1)),
    "a lintel that leaves seven quarters": piece(np.s_[6, 4, 2], "plaster", "hood", "walls"),
    "a ford a quarter deep": ford("sheet"),
    "a chest high on the ceiling's underside": piece(
        np.s_[7, 7, 3], "timber", "half soffit", "fittings"
    ),
    "a hall that nobody walks in": both(
        piece(np.s_[6, 4, 1:3], "plaster", "whole", "walls"),
        taken(np.s_[5, 8, 1]),
        entry("rooms", 0, walkable=False),
        entry("rooms", 1, walkable=False),
    ),
}

PLANTED: dict[str, tuple[str, Change]] = {
    "a piece in the air": ("standing", piece(np.s_[2, 2, 4], "timber", "whole", "walls")),
    "a piece that touches by an edge": (
        "standing",
        piece(np.s_[2, 3, 4], "timber", "whole", "walls"),
    ),
    "a form that touches nothing": ("standing", piece(np.s_[7, 7, 3], "timber", "lamp", "walls")),
    "water that stands up": ("water", piece(np.s_[13, 0, 1], "water", "whole", "site")),
    "water at the plot's edge": ("water", piece(np.s_[0, 0, 0], "water", "whole", "site")),
    "water over a gap": ("water", piece(np.s_[12, 1, 0], "earth", "half course", "site")),
    "a gap in the roof over a ceiling": ("sky", taken(np.s_[8, 7, 6])),
    "a gable left open": ("sky", taken(np.s_[13:15, 6, 5])),
    "a roof that closes by edges only": ("corners", taken(np.s_[4, 4, 5], np.s_[4, 4, 6])),
    "a gate in a wall": ("gate", told(gate=[4, 4, 8])),
    "a gate above the ground": ("gate", told(gate=[6, 0, 6])),
    "a door that does not open": ("rooms", entry("materials", 3, passable=False)),
    "a hole in a wall": ("open", taken(np.s_[4, 7, 2])),
    "a way out without a leaf": ("open", taken(np.s_[4, 7, 1:3])),
    "a hole in a floor": ("floors", taken(np.s_[6, 6, 0])),
    "a sealed chamber": ("rooms", piece(np.s_[9, 6, 1:4], "plaster", "whole", "walls")),
    "a low lintel": ("rooms", piece(np.s_[6, 4, 2], "plaster", "half soffit", "walls")),
    "a lintel too low over a step": ("rooms", piece(np.s_[9, 6, 3], "plaster", "whole", "walls")),
    "a narrow opening": ("rooms", piece(np.s_[9, 6, 1], "plaster", "jamb", "walls")),
    "a step of a whole cell": ("rooms", piece(np.s_[10:13, 5:9, 1], "boards", "whole", "floors")),
    "a ford half a cell deep": ("rooms", ford("half course")),
    "a moat": ("rooms", both(moat, piece(np.s_[::17, 3, 1:3], "plaster", "whole", "walls"))),
    "a chest walled in": ("fittings", screen(5, 6)),
    "a lamp taken away": ("light", taken(np.s_[6:8, 6, 3])),
    "dim lamps": ("light", entry("materials", 8, lumens=400)),
    "lamps that do not burn": ("light", entry("materials", 8, lumens=0)),
    "lamps of what lets no light pass": ("light", entry("materials", 8, clear=False)),
    "a beam right under the lamps": (
        "light",
        piece(np.s_[5:9, 5:8, 3], "boards", "sheet", "walls"),
    ),
    "lumens in words": ("about", entry("materials", 8, lumens="4000")),
    "form without material": ("numbers", number("form", np.s_[2, 2, 4], 1)),
    "stage in the air": ("numbers", number("stage", np.s_[2, 2, 4], 1)),
    "no such material": ("numbers", number("material", np.s_[2, 2, 0], 99)),
    "no such form": ("numbers", number("form", np.s_[2, 2, 0], 99)),
    "no such stage": ("numbers", number("stage", np.s_[2, 2, 0], 99)),
    "no such room": ("numbers", number("room", np.s_[2, 2, 4], 99)),
    "a form that fills nothing": ("numbers", number("shapes", 2, False)),
    "air that fills something": ("numbers", number("shapes", 0, True)),
    "a room without cells": ("numbers", number("room", np.s_[10:13], 0)),
    "wide materials": ("arrays", cast("material", np.int16)),
    "narrow forms": ("arrays", cast("form", np.uint8)),
    "wide forms in version 1": ("arrays", told(version=1)),
    "narrow rooms": ("arrays", cast("room", np.uint8)),
    "shapes of bytes": ("arrays", cast("shapes", np.uint8)),
    "stages of another size": ("arrays", lambda a, _: a.update(stage=a["stage"][1:])),
    "no rooms at all": ("arrays", lambda a, _: a.pop("room")),
    "a later version": ("about", told(version=3)),
    "another format": ("about", told(format="voxels")),
    "half a gate": ("about", told(gate=[6, 0])),
    "a gate off the plot": ("about", told(gate=[18, 0, 4])),
    "eaves in words": ("about", told(eaves="5")),
    "a colour by name": ("about", entry("materials", 1, colour="brown")),
    "indoors as a number": ("about", entry("rooms", 0, indoor=1)),
    "two rooms of one id": ("about", entry("rooms", 0, id=2)),
    "a form too few": ("about", lambda _, about: about["forms"].pop()),
}


@pytest.mark.parametrize("name", ALLOWED)
def test_what_is_allowed_is_passed(name: str) -> None:
    assert found(ALLOWED[name]) == set()


@pytest.mark.parametrize("name", PLANTED)
def test_each_fault_is_found_by_its_own_check(name: str) -> None:
    check, change = PLANTED[name]
    assert found(change) == {check}


def test_what_lies_beyond_the_outline_is_found() -> None:
    """Of a specimen that fills its plot, a corner that is not its own."""
    arrays, about = specimen()
    wide, deep, _ = arrays["form"].shape
    whole = [[0, 0], [wide, 0], [wide, deep], [0, deep]]
    bitten = [[1, 0], *whole[1:], [0, 1], [1, 1]]
    assert check_arrays(sealed(arrays, about), corners=whole) == []
    (found,) = check_arrays(sealed(arrays, about), corners=bitten)
    assert (found.check, {(x, y) for x, y, _ in found.where}) == ("outline", {(0, 0)})


def test_a_hole_over_a_room_lets_in_both_rain_and_sky() -> None:
    assert found(taken(np.s_[8, 7, 4], np.s_[8, 7, 6])) == {"rain", "sky"}


def test_a_forecourt_said_to_be_indoors_is_rained_on_and_has_no_walls() -> None:
    assert found(entry("rooms", 2, indoor=True, walkable=False)) == {"rain", "open"}


def test_a_room_open_to_the_roof_is_kept_from_the_sky_too() -> None:
    lofty = both(taken(np.s_[5:9, 7:9, 4]), number("room", np.s_[5:9, 7:9, 4:6], 1))
    assert found(lofty) == set()
    assert found(both(lofty, taken(np.s_[3:5, 6, 5]))) == {"sky"}


def test_a_thin_wall_is_not_beside() -> None:
    """A body that presses into a half-thick wall from next door does not stand by the chest."""
    change = both(
        piece(np.s_[8, 8, 1], "timber", "whole", "fittings"),
        screen(8, 7),
        piece(np.s_[9, 8, 1:4], "plaster", "crumb", "walls"),
    )
    assert found(change) == {"fittings"}


def test_a_finding_says_where() -> None:
    arrays, about = specimen()
    put(arrays, np.s_[2, 2, 4], "timber", "whole", "walls")
    (finding,) = check_arrays(sealed(arrays, about))
    assert finding.where == ((2, 2, 4),)
    assert finding.sentence.startswith("1 bodies")


# The folder.


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    write(tmp_path, *specimen())
    return tmp_path


def swapped(old: str, new: str) -> Callable[[Path], object]:
    return lambda path: path.write_text(re.sub(old, new, path.read_text(), count=1))


def cut(path: Path) -> None:
    path.write_bytes(path.read_bytes()[:-1])


def unasset(path: Path) -> None:
    path.write_bytes(path.read_bytes().replace(b"asset", b"facet"))


BESIDE: dict[str, tuple[str, str, Callable[[Path], object]]] = {
    "no guide": ("files", "guide.html", Path.unlink),
    "no arrays": ("files", "house.npz", Path.unlink),
    "arrays cut short": ("arrays", "house.npz", cut),
    "a wrong count": ("bill", "materials.csv", swapped(r"tile,whole,\d+", "tile,whole,1")),
    "a row too few": ("bill", "materials.csv", swapped(r"fittings.*\n", "")),
    "a row too many": ("bill", "materials.csv", swapped(r"\Z", "roof,tile,lamp,1\n")),
    "another heading": ("bill", "materials.csv", swapped("piece", "form")),
    "a count in words": ("bill", "materials.csv", swapped(r",\d+\n", ",many\n")),
    "no digests": ("digests", "house.json", swapped("digests", "sums")),
    "a short digest": ("digests", "house.json", swapped("0123", "")),
    "a stage without digest": ("digests", "house.json", swapped("roof", "rafters")),
    "no digest of the whole": ("digests", "house.json", swapped("whole", "roof")),
    "another seed": ("digests", "house.json", swapped('"seed": 7', '"seed": 8')),
    "a picture cut short": ("pictures", "court.png", cut),
    "a picture of another kind": ("pictures", "inside.png", lambda p: p.write_bytes(b"GIF89a")),
    "a mesh cut short": ("mesh", "house.glb", cut),
    "a mesh without asset": ("mesh", "house.glb", unasset),
    "a plan that does not close": ("plans", "plan-1.svg", swapped("/>", ">")),
    "a plan of another kind": ("plans", "plan-1.svg", swapped("svg", "html")),
    "no plan": ("plans", "plan-1.svg", Path.unlink),
    "a picture from the network": ("guide", "guide.html", swapped("data:,", "https://example.org/a")),
    "a picture from beside": ("guide", "guide.html", swapped("data:,", "outside.png")),
    "a link to the network": ("guide", "guide.html", swapped("#top", "//example.org")),
    "a style that asks": ("guide", "guide.html", swapped(r"\Z", "<style>p{background:url(a.png)}")),
}  # fmt: skip


def test_a_whole_folder_passes(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert check_folder(folder) == []
    assert main([str(folder)]) == 0
    assert capsys.readouterr() == ("", "")


@pytest.mark.parametrize("name", BESIDE)
def test_each_fault_of_a_file_is_found_by_its_own_check(name: str, folder: Path) -> None:
    check, file, change = BESIDE[name]
    change(folder / file)
    assert {finding.check for finding in check_folder(folder)} == {check}


def test_a_second_storey_needs_a_second_plan(tmp_path: Path) -> None:
    arrays, about = specimen()
    about["rooms"][1]["level"] = 2
    write(tmp_path, arrays, about)
    assert [f.sentence[:10] for f in check_folder(tmp_path)] == ["plan-2.svg"]


def test_names_that_nobody_knows_are_ignored(folder: Path) -> None:
    (folder / "notes.txt").write_text("mine")
    assert check_folder(folder) == []


def test_the_program_knows_nothing_of_the_project() -> None:
    for path in Path(__file__).parent.glob("*.py"):
        assert not re.search(r"^\s*(from|import) genhouse", path.read_text(), re.MULTILINE)


def test_the_program_runs_alone_and_says_how_it_went(folder: Path) -> None:
    (folder / "guide.html").unlink()
    run = [sys.executable, "-m", "tests.outside.checker"]
    root = Path(__file__).parents[2]
    found = subprocess.run([*run, folder], cwd=root, capture_output=True, text=True, check=False)
    assert (found.returncode, found.stderr) == (1, "")
    assert found.stdout == f"{folder}: files: guide.html is missing\n"
    wrong = subprocess.run([*run, folder / "x"], cwd=root, capture_output=True, check=False)
    assert (wrong.returncode, wrong.stdout) == (2, b"")
