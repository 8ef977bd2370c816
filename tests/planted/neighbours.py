"""Faults on a side that is shared with a neighbour."""

from __future__ import annotations

from collections.abc import Callable

from tests.houses import cells
from tests.planted.edit import Cell, Edit, material_of, neighboured


def eaves_over(edit: Edit) -> None:
    """Someone builds up to where this house has its eaves."""
    edit.told(party=("west",))


def pane_in(edit: Edit) -> None:
    edit.set(_pieces(edit)[:1], material_of(edit, "window"), "whole", "walls")


def stands_back(edit: Edit) -> None:
    edit.set(_pieces(edit)[:1], material_of(edit, "party-wall"), "infill y", "walls")


def _pieces(edit: Edit) -> list[Cell]:
    return cells(edit.house, "party-wall", stage="walls")


NEIGHBOURS: dict[str, tuple[str, Callable[[Edit], object]]] = {
    "a neighbour where eaves reach to the edge": ("party", eaves_over),
    "a pane in a wall to a neighbour": ("party", pane_in),
    "a wall to a neighbour that stands back": ("party", stands_back),
}
HOUSES = {
    "a pane in a wall to a neighbour": neighboured,
    "a wall to a neighbour that stands back": neighboured,
}
"""Where it is planted, if not in the usual house."""
