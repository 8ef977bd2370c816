"""Storeys as drawings tell them: on a real house, and on one that has been given a third."""

from __future__ import annotations

from dataclasses import replace
from xml.etree.ElementTree import fromstring

import pytest
from msgspec import structs

from genhouse.core.box import Box
from genhouse.model.design import Design
from genhouse.model.part import Part
from genhouse.outputs.guide._words import height_rows
from genhouse.outputs.plans.plan import plans
from genhouse.outputs.storeys import Storey, storeys
from tests.outputs.houses import SEEDS, designed

HIGH = 5
"""From one upper floor to the next."""


def raised(design: Design) -> Design:
    """The rooms of the top storey once more, as many layers higher."""
    top = storeys(design)[-1]
    new = len(design.rooms)
    more = tuple(
        structs.replace(
            r, id=new + n, level=top.level + 1, floor=r.floor + HIGH, ceiling=r.ceiling + HIGH
        )
        for n, r in enumerate(top.rooms, 1)
    )
    low = tuple(
        structs.replace(r, to_roof=False) if r.level == top.level else r for r in design.rooms
    )
    return replace(design, rooms=(*low, *more))


def piece(z: int, x: int = 3, y: int = 3) -> Part:
    return Part("frame", "post", "whole", Box(x, y, z, x + 1, y + 1, z + 1))


@pytest.mark.parametrize("seed", SEEDS)
def test_each_room_is_of_one_storey_and_each_part_begins_in_one(seed: int) -> None:
    for design in (designed(seed), raised(designed(seed))):
        found = storeys(design)
        assert [r for s in found for r in s.rooms] == sorted(design.rooms, key=lambda r: r.level)
        assert [s.floor for s in found] == sorted({r.floor for r in design.rooms if r.indoor})
        for part in design.parts:
            assert sum(s.has(part) for s in found) == 1


def test_storeys_are_named_by_their_place() -> None:
    three = storeys(raised(designed(7)))
    assert [s.name for s in three] == ["Lower storey", "Middle storey", "Upper storey"]
    four = storeys(raised(raised(designed(7))))
    assert [s.name for s in four] == ["Lower storey", "Storey 2", "Storey 3", "Upper storey"]


def test_a_plan_is_cut_through_windows_and_right_under_the_roof_at_the_floor() -> None:
    lower, middle, upper = storeys(raised(designed(7)))
    for storey, over in ((lower, 1), (middle, 1), (upper, 0)):
        cut = [z for z in range(designed(7).height + HIGH) if storey.cuts(piece(z))]
        assert cut == [storey.floor + over]


def test_where_a_floor_lies_higher_all_is_told_from_there() -> None:
    design = designed(7)
    room = next(r for r in storeys(design)[0].rooms if r.indoor)
    higher = structs.replace(room, floor=room.floor + 1)
    storey: Storey = storeys(
        replace(design, rooms=tuple(higher if r is room else r for r in design.rooms))
    )[0]
    x, y = room.rects[0].x0, room.rects[0].y0
    assert storey.floor == room.floor
    assert storey.carries(piece(room.floor + 1, x - 1, y))
    assert not storey.carries(piece(room.floor, x, y))


def test_a_plan_a_storey_and_a_line_of_the_guide() -> None:
    design = raised(designed(7))
    titles = [fromstring(text).findtext("{*}title") for text in plans(design)]
    assert titles == [
        f"House 7: {name} storey, {n} of 3"
        for n, name in enumerate(("Lower", "Middle", "Upper"), 1)
    ]
    rows = dict(height_rows(design))
    floors = [
        rows[f"First free layer of the {name} storey"] for name in ("lower", "middle", "upper")
    ]
    assert floors == [(2,), (7,), (7 + HIGH,)]
