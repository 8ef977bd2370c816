"""Walls: every bay filled, windows framed by infill and balanced in their bay."""

from __future__ import annotations

import pytest

from genhouse.generate.recipe import design_shell
from genhouse.model.brief import Recipe
from tests.houses import SEEDS, TIMBER, anyhow, cells, house, plan

each_seed = pytest.mark.parametrize("seed", SEEDS)
LOW, HIGH = TIMBER.storeys


def _along(axis: str, cell: tuple[int, int], n: int) -> tuple[int, int]:
    return (cell[0] + n, cell[1]) if axis == "x" else (cell[0], cell[1] + n)


@each_seed
def test_windows_stand_only_between_pieces_of_wall(seed: int) -> None:
    """At both ends of a window comes wall, in the same layer; never a post, never a corner.

    But for upper windows that run from post to post, in rooms that would have too little of them.
    """
    found = house(seed)
    clear = {m.name for m in found.plan.palette.materials if m.clear}
    shut = [role for role, m in found.plan.palette.roles if m.name not in clear]
    infill = set(cells(found, *shut, stage="walls"))
    for s in found.plan.segments:
        if s.opening == "window" and s.way is not None and s.way != s.cells:
            row = list(s.way.cells())
            low = LOW.floor if s.level == 1 else HIGH.floor
            for end, way in ((row[0], -1), (row[-1], 1)):
                assert (*_along(s.axis, end, way), low) in infill


@each_seed
def test_windows_are_balanced_in_their_bay(seed: int) -> None:
    for s in house(seed).plan.segments:
        if s.opening == "window" and s.way is not None and s.way != s.cells:
            before = s.way.x0 - s.cells.x0 + s.way.y0 - s.cells.y0
            after = s.cells.x1 - s.way.x1 + s.cells.y1 - s.way.y1
            assert before == after == 1


def test_windows_run_from_post_to_post_only_right_under_a_roof_over_another_storey() -> None:
    wide = 0
    for seed in range(40):
        design = design_shell(Recipe(seed=seed))
        for room in design.rooms:
            mine = [
                s
                for s in design.segments
                if room.indoor and room.id in (s.low, s.high) and s.boundary in ("outer", "court")
            ]
            if any(s.opening == "window" and s.way == s.cells for s in mine):
                below = [c.storeys for c in design.covers if c.rect.meet(room.rect).area]
                assert room.level == max(below) > 1
                wide += 1
    assert wide


@each_seed
def test_walls_are_whole_from_sill_to_plate(seed: int) -> None:
    """Every cell of an outer wall is set in every layer: infill, window, lattice, screen, door or beam.

    What stands open of a screen is the only gap.
    """
    found = house(seed)
    v = found.voxels
    for s in found.plan.segments:
        if s.boundary in ("outer", "court"):
            low, high = (LOW.floor, LOW.head) if s.level == 1 else (HIGH.floor, HIGH.head)
            for cell in s.cells.cells():
                open_here = s.way is not None and s.way.has(*cell) and s.opening == "screens"
                for z in range(low, high + 1):
                    assert v.form[*cell, z] or (open_here and z < LOW.lintel)


@each_seed
def test_between_the_beams_runs_a_band_that_light_passes(seed: int) -> None:
    v = house(seed).voxels
    clear = v.flag("clear")[v.material]
    for s in house(seed).plan.segments:
        if s.level == 1 and s.boundary != "open":
            assert all(clear[*c, s.lintel + 1] for c in s.cells.cells())


@pytest.mark.parametrize("seed", range(100, 112))
def test_a_garden_wall_closes_every_open_side(seed: int) -> None:
    """No wing, no gap: a wall three cells high with a cap, broken only by its gate.

    Those of yards are lower, and of the court's stage.
    """
    found = anyhow(seed)
    walls = {c[:2] for c in cells(found, "garden-wall", stage="walls")}
    caps = {c[:2] for c in cells(found, "wall-cap", stage="walls")}
    assert walls == caps
    heights = {z for _, _, z in cells(found, "garden-wall", stage="walls")}
    assert heights in (set(), {LOW.slab, LOW.slab + 1, LOW.slab + 2})


@pytest.mark.parametrize("seed", SEEDS)
def test_a_garden_wall_stands_wherever_the_site_says(seed: int) -> None:
    p = plan(seed)
    stood = {c[:2] for c in cells(p.house, "garden-wall", "post", "gate-leaf")}
    assert {c for wall in p.site.walls for c in wall.cells()} <= stood
