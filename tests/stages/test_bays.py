"""Bays: three to five clear cells everywhere, posts at every crossing."""

from __future__ import annotations

import pytest

from genhouse.core.draw import Draw
from genhouse.stages.bays import plan_bays
from genhouse.stages.site import lines_round
from tests.houses import SEEDS, TIMBER, plan
from tests.reference import published
from tests.stages.roofs.shapes import Shapes

BAYS = published("dwelling")["bays"]
PLOTS = [None, (19, 22), (45, 61), (45, 24)]


@pytest.mark.parametrize("plot", PLOTS, ids=str)
@pytest.mark.parametrize("seed", list(SEEDS)[:3])
def test_every_bay_has_three_to_five_clear_cells(seed: int, plot: tuple[int, int] | None) -> None:
    bays = plan(seed, plot).bays
    posts = {*bays.posts, *bays.middle}
    for line in {*bays.lines, *bays.middle_lines}:
        c = line.cells
        assert min(c.width, c.depth) == 1
        assert BAYS["least"] <= max(c.width, c.depth) <= BAYS["most"]
        ends = (
            [(c.x0 - 1, c.y0), (c.x1, c.y0)]
            if line.axis == "x"
            else [(c.x0, c.y0 - 1), (c.x0, c.y1)]
        )
        assert posts.issuperset(ends), "a wall line runs from post to post"


@pytest.mark.parametrize("seed", SEEDS)
def test_units_tile_each_wing_between_its_wall_lines(seed: int) -> None:
    p = plan(seed)
    units = [c for unit in p.bays.units for c in unit.rect.cells()]
    assert len(units) == len(set(units))
    inner = {c for line in p.bays.middle_lines for c in line.cells.cells()}
    walls = {c for line in p.bays.lines for c in line.cells.cells()} - inner | set(p.bays.posts)
    for wing in p.site.wings:
        floor = {c for c in wing.rect.cells() if c not in walls}
        assert floor <= set(units) | set(p.bays.middle)
    assert not walls & set(units)


@pytest.mark.parametrize("seed", SEEDS)
def test_frames_answer_each_other_across_a_court(seed: int) -> None:
    """Post lines that reach a court from one side stand opposite those on the other."""
    p = plan(seed)
    for court in p.site.courts:
        rows = {
            y: {x for x, at in p.bays.posts if at == y and court.x0 <= x < court.x1}
            for y in (court.y0 - 1, court.y1)
        }
        south, north = rows[court.y0 - 1], rows[court.y1]
        assert south == north or not south or not north


@pytest.mark.parametrize("seed", SEEDS)
def test_lines_lie_apart(seed: int) -> None:
    bays = plan(seed).bays
    cells = [c for line in {*bays.lines, *bays.middle_lines} for c in line.cells.cells()]
    assert len(cells) == len(set(cells))
    assert not set(cells) & {*bays.posts, *bays.middle}


def test_frames_answer_each_other_only_as_far_as_both_reach() -> None:
    """Past a wing that is but the longest of a row along its court no wall of it is set out."""
    ended = 0
    for seed in range(60):
        site = Shapes(seed).one()
        bays = plan_bays(site, TIMBER, Draw(seed).at("bays"))
        for wing, along in zip(site.wings, bays.along, strict=True):
            frame = site.frame(wing)
            assert (along[0], along[-1]) == (frame.x0, frame.x1 - 1), (seed, wing.name)
        for court in site.courts:
            for side, row in lines_round(court).items():
                wing = site.round(court).get(side)
                ended += wing is not None and not wing.rect.holds(row)
    assert ended, "some wing ends before its court does"
