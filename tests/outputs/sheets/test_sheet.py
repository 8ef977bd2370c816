"""Layer sheets: what is drawn, read by its key alone, is the house."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest

from genhouse.core.forms import FORMS
from genhouse.house import House, design
from genhouse.model.voxels import FormEntry
from genhouse.outputs.sheets._hatches import hatch
from genhouse.outputs.sheets._marks import codes, mark
from genhouse.outputs.sheets.sheet import Sheets
from genhouse.outputs.steps.steps import building_steps
from tests.houses import anyhow
from tests.outside.sheets import read_sheet, read_sheets


def drawn_as_built(house: House, folder: Path, *, parts: bool = False) -> Sheets:
    sheets = Sheets(house.plan, house.voxels, building_steps(house.plan, house.voxels))
    for file in folder.glob("*.svg"):
        file.unlink()
    for z in sheets.levels:
        drawn = (
            [sheets.part(z, n) for n in range(len(sheets.parts[z]))] if parts else [sheets.sheet(z)]
        )
        for n, text in enumerate(drawn):
            (folder / f"{z}-{n}.svg").write_text(text, "utf-8")
    material, form = read_sheets(folder)
    about, high = house.voxels.about, material.shape[2]
    assert not house.voxels.form[:, :, high:].any()
    names = np.array(["", *(m.name for m in about.materials[1:])], dtype=object)
    shapes = np.array(["", *(f.name for f in about.forms[1:])], dtype=object)
    assert np.array_equal(material, names[house.voxels.material[:, :, :high]])
    assert np.array_equal(form, shapes[house.voxels.form[:, :, :high]])
    return sheets


@pytest.mark.parametrize("plot", [(45, 61), (30, 44)])
def test_the_parts_of_a_large_sheet_are_what_is_built(
    plot: tuple[int, int], tmp_path: Path
) -> None:
    """They share a row or column, and none of their lettering is under 6 pt on a page of A4."""
    sheets = drawn_as_built(design(5, {"plot": plot}), tmp_path, parts=True)
    assert max(map(len, sheets.parts.values())) > 1
    for file in tmp_path.glob("*.svg"):
        assert smallest_on_paper(file.read_text("utf-8")) >= 6


def smallest_on_paper(text: str) -> float:
    """Points of the smallest lettering, where a drawing is as large as 184 by 264 mm allow."""
    _, _, wide, high = map(float, re.findall(r'viewBox="([^"]+)"', text)[0].split())
    sizes = [float(n) for n in re.findall(r'font-size="([\d.]+)"', text)]
    return min(sizes) * min(184 / wide, 264 / high) * 72 / 25.4


@pytest.mark.parametrize("seed", range(6))
def test_what_is_drawn_is_what_is_built(seed: int, tmp_path: Path) -> None:
    drawn_as_built(anyhow(seed), tmp_path)


@pytest.mark.wide
def test_so_it_is_for_fifty_houses(tmp_path: Path) -> None:
    for seed in range(50):
        drawn_as_built(design(seed), tmp_path)


def test_no_two_forms_are_drawn_alike() -> None:
    letters = codes(tuple(sorted({form.piece for form in FORMS})))
    assert len(set(letters.values())) == len(letters)
    marks = [mark(FormEntry(name=f.name, piece=f.piece), f.shape, letters[f.piece]) for f in FORMS]
    assert len(set(marks)) == len(marks)
    assert marks.count("") == 1  # a whole piece


def test_no_two_hatches_have_the_same_lines() -> None:
    """In one colour, as a sheet is printed in black: a house has at most as many materials as this."""
    assert len({hatch(rank, "#808080") for rank in range(120)}) == 120


def test_default_houses_are_legible_on_one_page_or_in_parts() -> None:
    house = anyhow(7)
    sheets = Sheets(house.plan, house.voxels, building_steps(house.plan, house.voxels))
    for z in sheets.levels:
        for n in range(len(sheets.parts[z])):
            assert smallest_on_paper(sheets.part(z, n)) >= 6


def test_a_sheet_says_which_steps_set_its_pieces_and_where_one_counts_from() -> None:
    house = anyhow(7)
    steps = building_steps(house.plan, house.voxels)
    text = Sheets(house.plan, house.voxels, steps).sheet(2)
    here = sorted({int(n) for n in steps.of[:, :, 2].reshape(-1) if n})
    assert f"Steps {', '.join(map(str, here))}." in text
    assert read_sheet(text).level == 2


def test_a_mark_too_many_does_not_pass() -> None:
    house = anyhow(7)
    sheets = Sheets(house.plan, house.voxels, building_steps(house.plan, house.voxels))
    text = sheets.sheet(3)
    first = text.index("<use", text.index('data-part="forms"'))
    use = text[first : text.index("/>", first) + 2]
    with pytest.raises(ValueError, match="two stand in one cell"):
        read_sheet(text[:first] + use + text[first:])
