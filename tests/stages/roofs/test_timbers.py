"""Timbers: each beam has roof upon it and hangs together with the house; no post parts a floor."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache

import pytest

from genhouse.generate.recipe import design_shell
from genhouse.house import make
from genhouse.inspection.standing import standing
from genhouse.inspection.subcells import subcells
from genhouse.model.brief import Brief, Recipe, RoofWish
from genhouse.model.design import Design
from genhouse.model.raster import raster

ROOFS = {
    "lean-to": (RoofWish(form="lean-to"), (3, 76, 78, 185, 237)),
    "hip, flat": (RoofWish(form="hip", front="flat"), (4, 124, 132, 252)),
}
SHELLS = [(name, seed) for name, (_, seeds) in ROOFS.items() for seed in seeds]
each_shell = pytest.mark.parametrize(("name", "seed"), SHELLS)


@cache
def shell(name: str, seed: int) -> Design:
    return design_shell(Recipe(seed=seed, brief=Brief(roof=ROOFS[name][0])))


@each_shell
def test_every_timber_hangs_together_with_the_house(name: str, seed: int) -> None:
    """A beam touches the roof that it carries, or panels alone would hold it."""
    voxels = raster(shell(name, seed))
    assert standing(voxels, subcells(voxels)).findings == ()


@each_shell
def test_no_roof_post_parts_the_floor_of_an_upper_room(name: str, seed: int) -> None:
    """The floor round the posts is in as many pieces as without them."""
    design = shell(name, seed)
    posts = {(p.box.x0, p.box.y0) for p in design.parts if p.role == "roof-post"}
    taken = {(p.box.x0, p.box.y0) for p in design.parts if p.role == "flue"}
    if design.stairs:
        taken |= {c for step in design.stairs[0].run[:-1] for c in step.cells()}
    for room in design.rooms:
        if room.level == 2 and room.indoor:
            floor = {c for rect in room.rects for c in rect.cells()} - taken
            assert pieces(floor - posts) <= pieces(floor), room


def test_a_roof_that_is_open_up_to_the_edge_of_the_plot_is_carried() -> None:
    brief = Brief(plot=(30, 22), gate="west", trade="joiner")
    assert make(Recipe(seed=14663648285918636944, brief=brief)).inspect().clean


def pieces(cells: Iterable[tuple[int, int]]) -> int:
    """How many pieces some cells are in, side by side."""
    left, found = set(cells), 0
    while left:
        edge = [left.pop()]
        found += 1
        while edge:
            x, y = edge.pop()
            for there in ((x + 1, y), (x - 1, y), (x, y + 1), (x, y - 1)):
                if there in left:
                    left.remove(there)
                    edge.append(there)
    return found
