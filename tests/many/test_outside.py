"""How unlike two houses look: heights by hand, by numpy and by scipy; colours and fronts by hand."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import numpy.typing as npt
import pytest
from msgspec.structs import replace
from scipy.spatial.distance import cityblock

from genhouse.core.axes import SIDES
from genhouse.house import House, make
from genhouse.many import outside
from genhouse.many.outside import Heights, Look, colours, heights, look, rhythm
from genhouse.model.brief import Brief, Recipe
from tests.houses import SEEDS, anyhow

BUILT = {"frame", "walls", "floors", "stair", "screens", "roof"}
Field = npt.NDArray[np.uint8]


def rows(field: npt.ArrayLike) -> Heights:
    return tuple(row.tobytes() for row in np.asarray(field, dtype=np.uint8))


def laid(house: House) -> Field:
    """Its height field from the parts, a box at a time."""
    ground, field = house.plan.gate[2] // 4, np.zeros(house.plan.plot, dtype=np.uint8)
    for part in house.plan.parts:
        x0, y0, _, x1, y1, z1 = part.box
        if part.stage in BUILT and z1 > ground:
            field[x0:x1, y0:y1] = np.maximum(field[x0:x1, y0:y1], z1 - ground)
    x, y = np.nonzero(field)
    return field[x.min() : x.max() + 1, y.min() : y.max() + 1]


def at(field: Field, size: tuple[int, int], corner: tuple[int, int]) -> npt.NDArray[np.int64]:
    """The field in a corner, (0, 0) to (1, 1), of a larger ground, flat."""
    ground = np.zeros(size, dtype=int)
    x, y = (c * (m - n) for c, m, n in zip(corner, size, field.shape, strict=True))
    ground[x : x + field.shape[0], y : y + field.shape[1]] = field
    return ground.ravel()


def brute(a: Field, b: Field) -> Fraction:
    """Every symmetry in every corner of a ground that holds both; differences as scipy has them."""
    found = []
    for other in (np.rot90(m, n) for m in (b, b.T) for n in range(4)):
        size = (max(a.shape[0], other.shape[0]), max(a.shape[1], other.shape[1]))
        for corner in ((0, 0), (0, 1), (1, 0), (1, 1)):
            one, two = at(a, size, corner), at(other, size, corner)
            share = int(np.count_nonzero(one + two)) * int(max(one.max(), two.max()))
            found.append(Fraction(int(cityblock(one, two)), share))
    return min(found)


HOUSES = [make(Recipe(seed=0)), make(Recipe(seed=7, brief=Brief(storeys=1)))] + [
    anyhow(seed) for seed in SEEDS[:4]
]
FIELDS = [laid(house) for house in HOUSES]


def test_heights_are_those_of_the_parts_without_ground_garden_and_fittings() -> None:
    for house, field in zip(HOUSES, FIELDS, strict=True):
        assert heights(house.voxels) == rows(field)


def test_two_sheds_by_hand() -> None:
    """A shed 2 x 1 and 4 high beside one 3 x 1, of 4, 4 and 2: they differ by 2, over 3 columns, under a
    ridge of 4: a sixth.  Turned a quarter, mirrored, or both, the answer is the same."""
    small, large = [[4, 4]], [[4, 4, 2]]
    for other in (large, [[4], [4], [2]], [[2, 4, 4]], [[2], [4], [4]]):
        assert outside.outside(rows(small), rows(other)) == Fraction(1, 6)
        assert outside.outside(rows(other), rows(small)) == Fraction(1, 6)


def test_a_court_counts_only_where_one_of_the_two_is_built() -> None:
    """Eight columns of 3 round a court, and nine of 3: they differ by 3 over 9 columns, a ninth."""
    ring, block = np.full((3, 3), 3), np.full((3, 3), 3)
    ring[1, 1] = 0
    assert outside.outside(rows(ring), rows(block)) == Fraction(1, 9)
    assert outside.outside(rows(ring), rows(ring)) == 0


def test_the_distance_of_houses_is_that_of_all_placings_tried_out() -> None:
    for a in FIELDS:
        for b in FIELDS:
            assert outside.outside(rows(a), rows(b)) == brute(a, b)


def test_random_fields_agree_and_the_quick_bound_never_says_too_much() -> None:
    draw = np.random.default_rng(5)
    for _ in range(300):
        sizes, most = draw.integers(1, 7, (2, 2)), int(draw.integers(2, 30))
        a, b = (draw.integers(0, most, size).astype(np.uint8) for size in sizes)
        a[0, 0], b[0, 0] = 1, most
        one, other = rows(a), rows(b)
        whole = brute(a, b)
        assert outside.outside(one, other) == outside.outside(other, one) == whole
        assert outside._bound(one, other) <= whole
        assert outside.alike(one, other) == (whole < outside.ALIKE)


def test_a_taller_copy_is_told_apart_and_a_dormer_is_not() -> None:
    plain = FIELDS[0]
    dormer = plain.copy()
    dormer[1, 1] += 2
    assert outside.alike(rows(plain), rows(dormer))
    assert not outside.alike(rows(plain), rows(plain + 2 * (plain > 0)))


def shown(roof: str, walls: str, *fronts: tuple[str, ...]) -> Look:
    return Look((), roof, walls, fronts)


def test_colours_by_hand() -> None:
    """Roofs differ by 255 in red, walls by 51 in each channel: 408 of 6 x 255."""
    a, b = shown("#000000", "#333333"), shown("#ff0000", "#000000")
    assert colours(a, b) == Fraction(408, 1530)
    assert colours(a, a) == 0


def test_fronts_by_hand() -> None:
    """One window for a door, one bay more: two of seven bays.  The mirrored house is the same."""
    plain = shown("", "", ("window", "entrance"), ("none", "window"), (), ("screens", "screens"))
    other = shown("", "", ("door", "entrance"), ("none", "window", "none"), (), ("screens",) * 2)
    mirror = shown("", "", ("entrance", "window"), ("screens", "screens"), (), ("window", "none"))
    assert rhythm(plain, other) == rhythm(other, plain) == Fraction(2, 7)
    assert rhythm(plain, mirror) == 0


@pytest.mark.parametrize(
    "turned", [Brief(gate="west", plot=(32, 23)), Brief(gate="north", plot=(23, 32))]
)
def test_a_turned_house_looks_the_same_and_its_fronts_are_read_from_the_gate(turned: Brief) -> None:
    briefs = Brief(gate="south", plot=(23, 32)), turned
    houses = [make(Recipe(seed=3, brief=brief)) for brief in briefs]
    a, b = (look(house.plan, house.voxels) for house in houses)
    assert a.heights != b.heights
    assert outside.outside(a.heights, b.heights) == 0
    assert rhythm(a, b) == 0
    assert colours(a, replace(b, roof="#000000")) > colours(a, b) == 0


def test_fronts_are_those_of_the_plan() -> None:
    """Each bay that looks out is in the front that it faces; one enters a ring from the gate's."""
    rings = [make(Recipe(seed=n, brief=Brief(arrangement="ring"))) for n in range(3)]
    for house in (*HOUSES, *rings):
        fronts = look(house.plan, house.voxels).fronts
        outer = [s for s in house.plan.segments if s.boundary == "outer"]
        assert len(outer) == sum(map(len, fronts))
        gate = SIDES.index(house.plan.gate_side)
        for n, front in enumerate(fronts):
            faced = [s.opening for s in outer if s.face == SIDES[(gate + n) % 4]]
            assert sorted(faced) == sorted(front)
        assert "entrance" in fronts[0] or house.plan.arrangement != "ring"
    assert [house.plan.arrangement for house in rings] == ["ring"] * 3
