"""Frame: six-cell posts, tie beams in the fourth and sixth cell, each borne at both ends."""

from __future__ import annotations

import pytest

from genhouse.generate.recipe import design_shell
from genhouse.model.brief import Recipe
from tests.houses import SEEDS, TIMBER, cells, house, plan

each_seed = pytest.mark.parametrize("seed", SEEDS)
LOW, HIGH = TIMBER.storeys


@each_seed
def test_posts_are_six_cells_high(seed: int) -> None:
    """Common practice: six-cell posts (the tradition's rule 2)."""
    found, bays = house(seed), plan(seed).bays
    posts = set(cells(found, "post", stage="frame"))
    for x, y in (*bays.posts, *bays.middle):
        assert [z for z in range(LOW.slab - 1, LOW.head + 2) if (x, y, z) in posts][:6] == list(
            range(LOW.slab, LOW.slab + 6)
        )
        assert (x, y, LOW.slab - 1) not in posts
    assert {c[:2] for c in posts} == {*bays.posts, *bays.middle}


@each_seed
def test_tie_beams_run_in_the_fourth_and_the_sixth_cell(seed: int) -> None:
    layers = {z for _, _, z in cells(house(seed), "tie", stage="frame")}
    assert layers == {LOW.slab + 3, LOW.slab + 5}


@each_seed
def test_every_beam_bears_on_a_post_at_both_ends(seed: int) -> None:
    """Walk along each beam from its cells, both ways, until it ends: there stands a post."""
    found = house(seed)
    posts = set(cells(found, "post"))
    for part in found.plan.parts:
        if part.role not in ("tie", "plate"):
            continue
        x0, y0, z, x1, y1, _ = part.box
        length, breadth = max(x1 - x0, y1 - y0), min(x1 - x0, y1 - y0)
        assert breadth == 1
        step = (1, 0) if x1 - x0 == length and y1 - y0 == 1 else (0, 1)
        for way, (x, y) in ((1, (x1 - 1, y1 - 1)), (-1, (x0, y0))):
            end = (x + way * step[0], y + way * step[1], z)
            assert end in posts, f"{part.role} at {part.box} ends in the air"


@each_seed
def test_posts_stand_on_the_ground_and_upper_posts_on_lower(seed: int) -> None:
    found = house(seed)
    solid = found.voxels.form > 0
    high = [wing.rect.grown(1) for wing in plan(seed).site.wings if wing.storeys == 2]
    for x, y in plan(seed).bays.posts:
        plate = HIGH.head if any(rect.has(x, y) for rect in high) else LOW.head
        assert solid[x, y, : plate + 1].all()


@each_seed
def test_sills_lie_under_every_wall_but_before_the_front_door(seed: int) -> None:
    found = house(seed)
    sills = {c[:2] for c in cells(found, "sill", "plinth")}
    front = {c for e in plan(seed).rooms.entrances if e.kind == "front" for c in e.way.cells()}
    for s in found.plan.segments:
        if s.level == 1 and s.boundary != "open":
            assert set(s.cells.cells()) - front <= sills
    assert not sills & front


@pytest.mark.parametrize("seed", range(40))
def test_no_wall_ends_in_the_air(seed: int) -> None:
    """In the middle of a deep wing a partition of an upper storey meets a post as well."""
    design = design_shell(Recipe(seed=seed))
    filled = {cell for part in design.parts for cell in part.box.cells()}
    for s in design.segments:
        if s.boundary != "open":
            assert {(*end, z) for end in s.ends for z in range(s.z0, s.z1)} <= filled, s
