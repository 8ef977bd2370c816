"""How fronts are composed: by hand on rows of a few bays, and the same however a house is turned."""

from __future__ import annotations

from dataclasses import replace

import pytest

from genhouse.core.axes import SIDES
from genhouse.core.box import Rect
from genhouse.generate.recipe import design_shell
from genhouse.model.brief import Brief, Recipe
from genhouse.model.elements import Opening, Wall
from genhouse.model.raster import raster
from genhouse.outputs.figures._fronts import Bay, fronts, lonely, row_figures


def bay(look: str, sill: int = 0, opening: Opening = "window") -> Bay:
    """A bay of which one sees the letters of a word, one column each, and light of its first letter."""
    wall = Wall(
        level=1, axis="x", cells=Rect(1, 0, 4, 1), z0=2, z1=8, floor=3, lintel=5, boundary="outer",
        low=0, high=1, opening=opening,
    )  # fmt: skip
    columns = tuple((((ord(letter), "infill"),),) for letter in look)
    return Bay(wall=wall, motif=columns, sill=sill, light=frozenset(map(ord, look[:1])))


def test_a_row_is_matched_where_bays_mirror_each_other() -> None:
    assert row_figures([[bay("ab"), bay("c"), bay("ba")]]).symmetry == 1
    assert row_figures([[bay("ab"), bay("c"), bay("ab")]]).symmetry == 0
    assert row_figures([[bay("ab"), bay("cd"), bay("cd"), bay("ba")]]).symmetry == 0.5
    assert row_figures([[bay("ab", opening="entrance"), bay("cd")]]).symmetry == 1


def test_a_window_is_lonely_where_none_of_its_front_begins_so_and_is_of_the_same() -> None:
    one, other = bay("ab"), bay("cb")
    assert [*lonely([[one, other, one, one]])] == [other]
    assert [*lonely([[one, one, other, one, one]])] == []
    assert [*lonely([[one, other, one, one], [one, bay("cd")]])] == []
    assert [*lonely([[one, bay("a", 1), one, one]])] == [bay("a", 1)]
    assert [*lonely([[one, bay("c", opening="none"), one, one]])] == []


def test_sills_are_level_blanks_and_motifs_counted() -> None:
    found = row_figures([[bay("ab"), bay("ba", 1), bay("ab"), bay("d", -1, "none")]])
    assert found.level == 0.67
    assert found.blank == 0.25
    assert found.motifs == 2


@pytest.mark.parametrize("seed", range(3))
def test_a_house_turned_or_mirrored_is_composed_alike(seed: int) -> None:
    found = set()
    for gate in SIDES[::2]:
        for mirror in (False, True):
            brief = Brief(plot=(26, 30), gate=gate, mirror=mirror)
            design = design_shell(replace(Recipe(seed=seed), brief=brief))
            found.add(fronts(design, raster(design)))
    assert len(found) == 1
