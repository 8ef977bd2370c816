"""Courts: the garden fills its ground, its water is held, its walk leads from step to step."""

from __future__ import annotations

from functools import cache
from itertools import product

import numpy as np
import numpy.typing as npt
import pytest

from genhouse.core.axes import Side
from genhouse.core.box import Rect
from genhouse.core.draw import Draw
from genhouse.core.forms import NUMBER, shapes
from genhouse.house import make
from genhouse.model.brief import Brief, Recipe
from genhouse.stages.court import KINDS, Court, compose
from genhouse.stages.gardens.lot import Lot, noise_over
from genhouse.traditions.shelf import GARDENS
from tests.houses import SEEDS, TIMBER, cells, gardened, house, plan

Cell = tuple[int, int]
Bits = npt.NDArray[np.bool_]
each_seed = pytest.mark.parametrize("seed", SEEDS)
each_kind = pytest.mark.parametrize("kind", GARDENS)
LOW = TIMBER.storeys[0]
SIDES = ((1, 0), (-1, 0), (0, 1), (0, -1))
LIQUID = {"water", "deep-water", "shallows"}
LEAVES = {"foliage", "needles", "blossom", "bamboo"}
SIZES = [*product(range(3, 12), repeat=2), (6, 21), (16, 17), (31, 43), (1, 7), (9, 1), (2, 5)]
NARROW = [(3, 6), (3, 8), (3, 11), (6, 3), (4, 4), (28, 6)]
"""Sizes at which leaves come near the ways in: looked at more often."""
TALL = 7
"""Quarters of a body."""
HIGH = 12
"""Layers of a garden looked at: one below its ground, its ground, ten above."""


@cache
def lot(width: int, depth: int, seed: int, walls: tuple[Side, ...] = ()) -> Lot:
    """A lot with up to four shoe stones at its edge, one side each."""
    draw = Draw(seed).at("court", 0)
    g = Rect(3, 5, 3 + width, 5 + depth)
    x, y = draw.between(g.x0, g.x1 - 1, "x"), draw.between(g.y0, g.y1 - 1, "y")
    edge = [(x, g.y0), (x, g.y1 - 1), (g.x0, y), (g.x1 - 1, y)]
    steps = draw.shuffled(edge, "steps")[: draw.between(1, 4, "ways in")]
    return Lot(
        ground=g,
        steps=tuple(sorted(set(steps))),
        gate=(),
        low=Rect(0, 0, 0, 0),
        walls=walls,
        noise=noise_over(g, seed % 256),
        draw=draw,
    )


def gardens(kind: str) -> list[Court]:
    """A garden of every size, every other one with a garden wall on a side."""
    return [
        compose(kind, lot(w, d, 100 * w + d, ("west",) if (w + d) % 2 else ())) for w, d in SIZES
    ]


def built(court: Court) -> tuple[Bits, Bits]:
    """Solid and liquid sub-cells [4X, 4Y, 4Z] of a garden with verandas about it on firm ground."""
    g = court.ground
    form = np.zeros((g.width + 2, g.depth + 2, HIGH), dtype=np.uint8)
    form[:, :, :2] = NUMBER["whole"]
    form[[0, -1], :, 2] = form[:, [0, -1], 2] = NUMBER["whole"]
    wet = np.zeros(form.shape, dtype=bool)
    for x, y, z, role, name in court.pieces:
        spot = (x - g.x0 + 1, y - g.y0 + 1, z + 2)
        form[spot] = NUMBER[name]
        wet[spot] = role in LIQUID
    fine = shapes()[form].transpose(0, 3, 1, 4, 2, 5)
    filled = np.ascontiguousarray(fine).reshape([4 * n for n in form.shape])
    liquid = filled & wet.repeat(4, 0).repeat(4, 1).repeat(4, 2)
    return filled & ~liquid, liquid


def of_role(court: Court, *roles: str) -> set[tuple[int, int, int]]:
    return {(x, y, z) for x, y, z, role, _ in court.pieces if role in roles}


@each_kind
def test_every_cell_has_ground_and_nothing_lies_outside(kind: str) -> None:
    for court in gardens(kind):
        spots = [piece[:3] for piece in court.pieces]
        assert len(spots) == len(set(spots)), "two pieces in one cell"
        assert {(x, y) for x, y, z in spots if z == -1} == set(court.ground.cells())
        assert all(court.ground.has(x, y) for x, y, _ in spots), "crowns keep inside"


@each_kind
def test_water_is_held_below_and_on_every_side(kind: str) -> None:
    for court in gardens(kind):
        solid, liquid = built(court)
        held = solid | liquid
        for axis, by in ((0, 1), (0, -1), (1, 1), (1, -1), (2, 1)):
            assert np.roll(held, by, axis)[liquid].all(), (court.kind, court.ground)


@each_kind
def test_everything_hangs_together_with_the_ground(kind: str) -> None:
    ndimage = pytest.importorskip("scipy.ndimage")
    for court in gardens(kind):
        solid, _ = built(court)
        _, bodies = ndimage.label(solid)
        assert bodies == 1, (court.kind, court.ground)


def treads(court: Court) -> dict[Cell, tuple[int, int]]:
    """The height in quarters, from the ground, of each cell where a body stands on a garden; and how
    high above the ground it is free."""
    solid, liquid = built(court)
    found = {}
    for x, y in court.ground.cells():
        i, j = 4 * (x - court.ground.x0 + 1), 4 * (y - court.ground.y0 + 1)
        column = solid[i : i + 4, j : j + 4].any(axis=(0, 1))
        water = liquid[i : i + 4, j : j + 4].any(axis=(0, 1))
        ground = [z for z in range(8, 24) if column[z - 1] and not column[z : z + TALL].any()]
        if ground and not water[ground[0] - 1 :].any():
            above = [*np.flatnonzero(column[ground[0] :]), 99]
            found[x, y] = ground[0] - 8, ground[0] - 8 + int(above[0])
    return found


@each_kind
def test_one_walks_from_every_step_to_every_other_along_the_stones(kind: str) -> None:
    """A step is half a cell at most, and a shoe stone half a cell high; on the way up a body stands as
    high over the cell that it leaves, and from a shoe stone it steps up to a veranda."""
    narrow = (lot(w, d, seed) for w, d in NARROW for seed in range(20))
    for court in (*gardens(kind), *(compose(kind, one) for one in narrow)):
        high = treads(court)
        walk = set(court.walk)
        assert set(court.steps) <= walk <= set(high)
        assert all(high[c][0] == 2 for c in court.steps)
        assert all(high[c][1] >= 4 + TALL for c in court.steps), (court.kind, court.ground)
        left = walk - {min(walk)}
        edge = [min(walk)]
        while edge:
            x, y = edge.pop()
            for dx, dy in SIDES:
                there = (x + dx, y + dy)
                if there in left and passed(high[x, y], high[there]):
                    left.remove(there)
                    edge.append(there)
        assert not left, (court.kind, court.ground)


def passed(one: tuple[int, int], other: tuple[int, int]) -> bool:
    """Whether a body gets from one of two neighbouring treads to the other."""
    (low, roof), (up, above) = sorted((one, other))
    return up - low <= 2 and min(roof, above) - up >= TALL


@each_kind
def test_a_garden_has_its_own_thing(kind: str) -> None:
    needed: dict[str, set[str]] = {
        "pond": {"water"},
        "gravel": {"boulder", "raked-gravel"},
        "moss": {"moss", "boulder"},
        "grove": {"moss"},
        "well": {"bucket", "path", "water"},
        "tree": {"garden-bench"},
        "quartered": {"hedge", "path", "water"},
        "paved": {"path"},
        "basin": {"water"},
        "bare": {"garden-gravel"},
    }
    for court in gardens(kind):
        if min(court.ground.width, court.ground.depth) >= 5:
            assert needed[kind] <= {role for *_, role, _ in court.pieces}, court.ground


def test_a_pond_is_deep_enough_for_fish_and_shallow_at_its_shore() -> None:
    for court in gardens("pond"):
        if court.ground.width > 8 and court.ground.depth > 8:
            _, liquid = built(court)
            depths = liquid.sum(axis=2)
            assert depths.max() == 5, "a cell and a quarter"
            assert 1 in depths, "a quarter over a bed of gravel"


def test_stones_stand_in_groups_of_one_two_three_and_five() -> None:
    for court in gardens("gravel"):
        left = {(x, y) for x, y, z in of_role(court, "boulder") if z == 0}
        sizes = []
        while left:
            edge = [left.pop()]
            size = 0
            while edge:
                x, y = edge.pop()
                size += 1
                near = {c for c in left if max(abs(c[0] - x), abs(c[1] - y)) == 1}
                left -= near
                edge += near
            sizes.append(size)
        assert max(sizes, default=1) <= 5
        if court.ground.area > 100 and min(court.ground.width, court.ground.depth) > 6:
            assert len(set(sizes)) > 1, "no two groups need be alike"


def test_lanterns_are_accents() -> None:
    for kind in GARDENS:
        for court in gardens(kind):
            assert len(of_role(court, "garden-lamp")) <= 2


def test_a_wall_is_planted_against() -> None:
    court = compose("gravel", lot(9, 12, 5, ("west",)))
    strip = {(court.ground.x0, y) for y in range(court.ground.y0, court.ground.y1)}
    planted = {(x, y) for x, y, z in of_role(court, "shrub", "culm") if z == 0}
    assert planted & strip


def test_kinds_and_their_names_agree() -> None:
    assert tuple(KINDS) == GARDENS
    assert len(GARDENS) >= 6


@each_seed
def test_every_garden_cell_of_a_house_has_ground(seed: int) -> None:
    p = plan(seed)
    solid = p.house.voxels.form > 0
    for court in p.site.courts:
        g = p.site.garden(court)
        assert solid[g.x0 : g.x1, g.y0 : g.y1, LOW.slab - 1].all()


@each_seed
def test_every_court_can_be_stepped_into(seed: int) -> None:
    """A shoe stone half a cell high lies by the veranda, which stands a cell above the garden."""
    p = plan(seed)
    stones = {c[:2] for c in cells(p.house, "shoe-stone", stage="court")}
    for court, garden in zip(p.site.courts, p.court, strict=True):
        strip = {c for r in p.site.verandas(court) for c in r.cells()}
        assert garden.steps
        assert set(garden.steps) <= stones
        assert all(any((x + i, y + j) in strip for i, j in SIDES) for x, y in garden.steps)


@each_seed
def test_nothing_tall_stands_under_the_roof_of_a_gate(seed: int) -> None:
    p = plan(seed)
    roof = {c[:2] for c in cells(p.house, "porch-tile")}
    for court in p.court:
        assert not roof & {(x, y) for x, y, _ in of_role(court, *LEAVES)}


@each_kind
def test_a_garden_is_the_kind_that_is_asked_for(kind: str) -> None:
    elsewhere = {"paved": "siheyuan", "basin": "domus", "bare": "hanok"}
    brief = Brief(gate="south", garden=kind, tradition=elsewhere.get(kind, "timber"))
    house = make(Recipe(seed=1, brief=brief)) if kind in elsewhere else gardened(kind, 1)
    inspected = house.inspect()
    assert inspected.clean, inspected.findings
    alike = {p.role for p in make(Recipe(seed=3, brief=brief)).plan.parts if p.stage == "court"}
    assert alike


def test_courts_of_one_house_differ_and_houses_too() -> None:
    gardens_of: set[tuple[Court, ...]] = {plan(seed).court for seed in SEEDS}
    assert len(gardens_of) == len(SEEDS)
    for seed in SEEDS:
        kinds = [court.kind for court in plan(seed).court]
        assert len(set(kinds)) == len(kinds)
    assert len({court.kind for seed in SEEDS for court in plan(seed).court}) >= 3


def test_a_garden_is_turned_and_mirrored_with_its_house() -> None:
    """A mirrored house has the mirror image of every piece (see tests/laws for the rest)."""
    for kind in {*GARDENS} - {"paved", "basin", "bare"}:
        brief = {"plot": (29, 34), "gate": "south", "garden": kind}
        one = make(Recipe(seed=2, brief=Brief(**brief))).voxels  # type: ignore[arg-type]
        other = make(Recipe(seed=2, brief=Brief(**brief, mirror=True))).voxels  # type: ignore[arg-type]
        court = one.about.stages.index("court")
        assert np.array_equal(
            one.material[::-1][one.stage[::-1] == court], other.material[other.stage == court]
        )


@each_seed
def test_stone_lamps_are_lamp_heads(seed: int) -> None:
    lamps = {p.form for p in house(seed).plan.parts if p.role == "garden-lamp"}
    assert {form for form in lamps if not form.startswith("bracket lamp")} <= {"lamp head"}


def test_the_seed_of_the_court_alone_changes_the_garden() -> None:
    brief = Brief(plot=(29, 34), gate="south", garden="moss")
    one, other = (make(Recipe(seed=5, brief=brief, stage_seeds=(("court", n),))) for n in (1, 2))
    assert cells(one, "stepping-stone") != cells(other, "stepping-stone")
