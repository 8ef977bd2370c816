"""Members: rafter lengths and roof areas against the framing square's table."""

from __future__ import annotations

import csv
import io
from fractions import Fraction
from functools import reduce
from math import cos, radians
from typing import Any

import pytest

from genhouse.core.box import Rect
from genhouse.house import make
from genhouse.model.brief import Brief, Recipe, RoofWish
from genhouse.model.design import Design
from genhouse.outputs.bill import csv_bytes
from genhouse.outputs.members import Member, members, rafter
from tests.houses import SEEDS, house
from tests.reference import published

ROOF = published("roof")


@pytest.mark.parametrize("n", range(len(ROOF["rafter"]["rise"])))
def test_rafters_are_those_of_the_framing_square(n: int) -> None:
    """Length for each foot of common run, in inches; see shared/reference/roof.toml."""
    table = ROOF["rafter"]
    rise = (Fraction(table["rise"][n], 12),)
    assert 12 * rafter(rise, corner=False) == pytest.approx(table["common"][n], abs=0.0051)
    assert 12 * rafter(rise, corner=True) == pytest.approx(table["corner"][n], abs=0.0051)


def test_a_worked_rafter() -> None:
    """Builder 3 & 2, Volume 2: rise 7 in a foot over a run of 8 ft."""
    worked = ROOF["worked"]
    length = rafter((Fraction(worked["rise"], 12),) * worked["run_ft"], corner=False)
    assert 12 * length == pytest.approx(worked["length_in"], abs=worked["within_in"])


@pytest.mark.parametrize(("name", "degrees"), [("five", 26.57), ("eight", 38.66)])
def test_a_slope_is_its_plan_over_the_cosine_of_its_pitch(name: str, degrees: float) -> None:
    """Angles of five and eight sun: the carpenter's table (asiapocket.net, angle)."""
    wish = RoofWish(form="gable", profile=name, dormers=0)
    design = make(Recipe(seed=4, brief=Brief(roof=wish))).plan
    areas = {m.member: m.length for m in members(design)}
    for cover in design.covers:
        expected = sum(c.rect.area for c in design.covers if c.wing == cover.wing)
        found = areas[f"roof over the {cover.called}"]
        assert found == pytest.approx(expected / cos(radians(degrees)), rel=2e-4)


@pytest.mark.parametrize("seed", SEEDS)
def test_every_timber_is_counted_once(seed: int) -> None:
    design = house(seed).plan
    rows = members(design)
    for role, name in (("post", "post"), ("tie", "tie"), ("ridge-beam", "ridge beam")):
        wanted = sum(p.role == role for p in design.parts)
        assert sum(m.count for m in rows if m.member == name) == wanted
    read = list(csv.reader(io.StringIO(csv_bytes(rows, Member).decode())))
    assert read[0] == ["member", "length", "count"]
    assert len(read) == len(rows) + 1


def corners(arrangement: str, seed: int, **wishes: Any) -> tuple[Design, dict[str, int]]:
    """A hipped house of one storey, and its hips and valleys."""
    wish = RoofWish(form="hip", dormers=0)
    brief = Brief(arrangement=arrangement, storeys=1, courts=1, roof=wish, **wishes)
    design = make(Recipe(seed=seed, brief=brief)).plan
    names = ("hip rafter", "valley rafter")
    return design, {n: sum(m.count for m in members(design) if m.member == n) for n in names}


def test_hips_and_valleys_of_a_ring_by_hand() -> None:
    """A hipped ring has a hip at each outer corner and a valley at each corner of its court."""
    _, count = corners("ring", 1, plot=(29, 36), closed=4)
    assert count == {"hip rafter": 4, "valley rafter": 4}


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_hips_and_valleys_where_a_wing_goes_on_by_hand(seed: int) -> None:
    """A tail adds two hips at its end, and two valleys where it leaves the ring in the middle of a side; at
    a corner its outer flank goes on in line, and one hip and one valley stay."""
    design, count = corners("tail", seed, closed=4)
    (tail,) = [c.rect for c in design.covers if c.wing == "tail"]
    whole = reduce(Rect.hull, (c.rect for c in design.covers if c.wing != "tail"))
    in_line = sum(
        (tail.x0 == whole.x0, tail.x1 == whole.x1, tail.y0 == whole.y0, tail.y1 == whole.y1)
    )
    assert count == {"hip rafter": 6 - in_line, "valley rafter": 6 - in_line}
