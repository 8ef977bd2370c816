"""Fronts: composed as a whole, one cladding a storey, each bay in what the room behind it may wear."""

from __future__ import annotations

from collections import Counter

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from genhouse.core.axes import STEP, Side, opposite
from genhouse.core.box import Box, Rect
from genhouse.generate.recipe import design_shell
from genhouse.model.brief import Recipe
from genhouse.model.design import Design
from genhouse.model.elements import Wall
from genhouse.model.part import Part
from genhouse.model.raster import raster
from genhouse.outputs.figures._fronts import fronts
from genhouse.stages.fronts import ALONE, UNLIKE, UNTOLD, Bay, Worn, composed, is_clear, planes
from genhouse.stages.roofs.slopes import NONE
from tests.houses import SEEDS, TIMBER

each_seed = pytest.mark.parametrize("seed", SEEDS)
MANY = range(100)
LOOKS = [(name, (name,)) for name in "abcd"]
a_bay = st.builds(
    Bay,
    may=st.lists(st.sampled_from(LOOKS), min_size=1, max_size=3, unique=True).map(tuple),
    shape=st.sampled_from(("", "True")),
    door=st.booleans(),
)
a_row = st.lists(a_bay, min_size=1, max_size=7)
a_front = st.lists(a_row, min_size=1, max_size=3)


@given(a_front)
def test_each_bay_wears_what_it_may(front: list[list[Bay]]) -> None:
    for row, worn in zip(front, composed(front), strict=True):
        assert all(look in dict(bay.may) for bay, look in zip(row, worn, strict=True))


def unrest(front: list[list[Bay]], worn: list[Worn]) -> int:
    """All that an eye minds on a front."""
    fillings = [filling for row in worn for _, filling in row]
    weight = 0
    for bays, row in zip(front, worn, strict=True):
        for i, (bay, (look, filling)) in enumerate(zip(bays, row, strict=True)):
            weight += UNTOLD * min(bay.may.index((look, filling)), ALONE - 1)
            weight += UNLIKE * (
                not bay.door and (look, bay.shape) != (row[-1 - i][0], bays[-1 - i].shape)
            )
            answered = bay.door or bay.blind or 2 * i == len(row) - 1 or fillings.count(filling) > 1
            weight += ALONE * (not answered)
        weight += len({look for look, _ in row})
    return weight


@given(a_front)
def test_no_front_is_less_calm_than_where_each_bay_tells_most(front: list[list[Bay]]) -> None:
    fillings = [[dict(bay.may) for bay in row] for row in front]
    worn = [
        [(look, known[look]) for known, look in zip(row, looks, strict=True)]
        for row, looks in zip(fillings, composed(front), strict=True)
    ]
    assert unrest(front, worn) <= unrest(front, [[bay.may[0] for bay in row] for row in front])


@given(a_row)
def test_a_row_that_reads_the_same_both_ways_is_worn_so(row: list[Bay]) -> None:
    both = [*row, *row[::-1]]
    assert [w == w[::-1] for w in composed([both])] == [True]


def test_bays_whose_rooms_share_a_look_are_matched_across_the_middle() -> None:
    a, b, c, d = LOOKS
    assert composed([[Bay((a, b)), Bay((c,)), Bay((b, d))]]) == [["b", "c", "b"]]
    assert composed([[Bay((a, b)), Bay((d, b)), Bay((c, b)), Bay((b,))]])[0] == ["b"] * 4


def shell(seed: int) -> Design:
    return design_shell(Recipe(seed=seed))


@each_seed
def test_the_walls_that_are_seen_from_outside_are_dressed_and_no_other(seed: int) -> None:
    for wall in shell(seed).segments:
        seen = wall.boundary in ("outer", "court")
        assert bool(wall.face) == bool(wall.look) == bool(wall.clad) == bool(wall.band) == seen


@each_seed
def test_a_wall_faces_away_from_its_room(seed: int) -> None:
    design = shell(seed)
    rooms = {c: r for r in design.rooms if r.indoor for rect in r.rects for c in rect.cells()}
    for wall in design.segments:
        if wall.face:
            dx, dy = STEP[wall.face]
            x, y = wall.cells[:2]
            level = [r.level for r in (rooms.get((x + dx, y + dy)),) if r]
            assert wall.level not in level or wall.boundary == "court"
            assert (x - dx, y - dy) in rooms


def test_a_storey_of_a_front_has_one_cladding_and_one_band() -> None:
    for seed in MANY:
        for front in planes(shell(seed).segments):
            for row in front:
                assert len({(wall.clad, wall.band) for wall in row}) == 1


def rank_seen(wall: Wall, gate: Side) -> str:
    """Where a front looks, of a house that is turned as it stands."""
    if wall.boundary == "court":
        return "court"
    assert wall.face
    return {gate: "lane", opposite(gate): "back"}.get(wall.face, "side")


def test_outside_tells_inside() -> None:
    """What a bay wears is among the looks of its room's kind, or, for its pair, the window that its front
    wears where nothing else is told; doors wear what doors may."""
    for seed in MANY:
        design = shell(seed)
        indoor = {r.id: TIMBER.kind(r.kind) for r in design.rooms if r.indoor}
        for wall in design.segments:
            if wall.face:
                kind = indoor[wall.low if wall.low in indoor else wall.high]
                rank = rank_seen(wall, design.gate_side)
                plain = {getattr(s, rank).plain(wall.level) for _, s in TIMBER.front.schemes}
                if wall.opening == "none":
                    assert wall.look in (*kind.walls, "blank") or (
                        wall.look in plain and "" in kind.walls
                    )
                elif wall.opening == "window":
                    assert wall.look in kind.windows or wall.look in plain
                elif wall.opening == "entrance":
                    assert wall.look in TIMBER.front.doors


def test_every_window_lets_light_through_over_all_its_breadth() -> None:
    for seed in range(20):
        design = shell(seed)
        voxels = raster(design)
        clear = voxels.flag("clear")[voxels.material]
        for wall in design.segments:
            if wall.opening == "window" and wall.way is not None:
                for x, y in wall.way.cells():
                    assert clear[x, y, wall.floor : wall.lintel].any()


def test_what_juts_out_stands_in_pairs_in_the_middle_or_over_against_the_door() -> None:
    found: Counter[bool] = Counter()
    for seed in MANY:
        design = shell(seed)
        jutting = {cell for p in design.parts if _juts(p) for cell in p.box.cells()}
        for row in (row for front in planes(design.segments) for row in front):
            before = [_jutting(wall, jutting) for wall in row]
            doors = [wall.opening == "entrance" for wall in row]
            for i, out in enumerate(before):
                found[row[0].level > 1] += out
                assert not out or before[-1 - i] or doors[-1 - i]
    assert found[False] > len(MANY) // 4
    assert found[True] > len(MANY) // 16


def _juts(part: Part) -> bool:
    return part.role in ("oriel", "counter") or part.form.startswith("balustrade")


def _jutting(wall: Wall, jutting: set[tuple[int, int, int]]) -> bool:
    """Whether something stands before a wall between the layer under its floor and its beam."""
    dx, dy = STEP[wall.face or "south"]
    layers = range(wall.floor - 1, wall.lintel)
    return any((x + dx, y + dy, z) in jutting for x, y in wall.cells.cells() for z in layers)


def test_what_juts_out_keeps_to_the_plot_and_clear_of_walls_and_roofs() -> None:
    under = np.full((6, 6), NONE, dtype=np.int16)
    under[4, 4] = 11  # half cells: the roof comes down into layer 5
    assert is_clear(Box(1, 0, 2, 3, 1, 6), (), under)
    assert not is_clear(Box(1, -1, 2, 3, 0, 6), (), under)
    assert not is_clear(Box(5, 0, 2, 7, 1, 6), (), under)
    assert not is_clear(Box(1, 0, 2, 3, 1, 6), (Rect(2, 0, 4, 4),), under)
    assert is_clear(Box(3, 4, 2, 5, 5, 5), (), under)
    assert not is_clear(Box(3, 4, 2, 5, 5, 6), (), under)


def test_few_windows_are_lonely_and_most_bays_are_like_their_pair() -> None:
    found = [fronts(design, raster(design)) for design in map(shell, MANY)]
    assert sum(one.lonely for one in found) < 0.3 * len(MANY)
    assert sum(one.symmetry for one in found) > 0.82 * len(MANY)
