"""The siheyuan held to what is published of it on some seeds; ``rules_over`` holds many."""

from __future__ import annotations

from fractions import Fraction

import pytest

from genhouse.core.axes import FLANKS
from genhouse.model.roof import Cover
from tests.traditions.siheyuan.houses import (
    SEEDS,
    bays,
    cells,
    courts,
    house,
    rooms,
    seen_from_gate,
)

WEIGHTS = {
    2: (0, Fraction(2, 5), 1),
    3: (0, Fraction(7, 30), Fraction(17, 30), 1),
    4: (0, Fraction(1, 6), Fraction(23, 60), Fraction(13, 20), 1),
}
"""Heights of purlins by rafters a side, eaves to ridge, in parts of the rise: Li Jie, Yingzao fashi (1103),
juan 5, as worked in shared/reference.md, item 3 (20, 13, 7.6667, 3.3333, 0 of a rise of 20)."""
RISES = (Fraction(27, 100), Fraction(21, 80), Fraction(3, 10), Fraction(7, 20))
"""Of halls under tube tile and under flat tile, in parts of the span: the same, 0.27 and 0.2625; and by
the steps of later books, five purlins and seven, a mean of 0.6 and 0.7 of the run: shared/field-notes.md,
2.2."""


@pytest.mark.parametrize("seed", SEEDS)
def test_bays_are_odd_in_number_and_widest_in_the_middle(seed: int) -> None:
    """Odd bay counts only, 3, 5, 7: shared/field-notes.md, 2.2; wide in the middle: common practice."""
    design = house(seed)
    inner = courts(design)[-1]
    for wing in design.wings:
        row = bays(design, wing)
        if len(row) < 2 or not inner.grown(1).meets(wing):
            continue
        assert len(row) % 2 == 1, row
        assert row == row[::-1], row
        assert row[len(row) // 2] == max(row), row


@pytest.mark.parametrize("seed", SEEDS)
def test_gate_hall_court_and_main_hall_lie_on_one_axis(seed: int) -> None:
    design = house(seed)
    court = courts(design)[-1]
    (hall,) = rooms(design, "tangwu")
    for room in (hall, *rooms(design, "ermen")):
        assert room.rect.x0 + room.rect.x1 == court.x0 + court.x1
    assert hall.rect.y0 > court.y1, "the main hall lies at the rear"


@pytest.mark.parametrize("seed", SEEDS)
def test_the_main_hall_looks_south_over_its_court(seed: int) -> None:
    design = house(seed)
    (hall,) = rooms(design, "tangwu")
    opened = [w for w in design.segments if hall.id in (w.low, w.high) and w.opening == "screens"]
    faces = {w.face for w in opened if w.boundary == "court"}
    behind = any(court.y0 == hall.rect.y1 + 1 for court in design.courts)
    assert faces == {"south", *(["north"] if behind else [])}, (
        "and by a back door over a yard behind"
    )
    assert design.gate_side == "south"


def ridge(cover: Cover) -> Fraction:
    """The top of a roof, in half cells."""
    return cover.base + cover.courses[-1]


@pytest.mark.parametrize("seed", SEEDS)
def test_the_main_hall_is_the_tallest_then_those_at_its_sides(seed: int) -> None:
    """No wing's ridge rises above the main ridge: shared/field-notes.md, 2.2."""
    tops: dict[str, Fraction] = {}
    for cover in house(seed).covers:
        tops[cover.wing] = max(tops.get(cover.wing, Fraction(0)), ridge(cover))
    assert tops["rear"] > max(tops["left"], tops["right"])
    assert min(tops["left"], tops["right"]) >= max(
        (top for name, top in tops.items() if name == "link"), default=Fraction(0)
    )
    assert all(tops["rear"] > top for name, top in tops.items() if name != "rear")


@pytest.mark.parametrize("seed", SEEDS)
def test_roofs_are_raised_and_depressed(seed: int) -> None:
    for cover in house(seed).covers:
        rafters = len(cover.courses) - 1
        known = [tuple(2 * cover.span * rise * part for part in WEIGHTS[rafters]) for rise in RISES]
        assert cover.form == "gable"
        assert cover.courses in known


@pytest.mark.parametrize("seed", SEEDS)
def test_nobody_at_the_gate_sees_into_the_inner_court(seed: int) -> None:
    assert not list(seen_from_gate(house(seed), cells(seed)))


@pytest.mark.parametrize("seed", SEEDS)
def test_no_window_looks_out_but_of_a_room_without_other_light(seed: int) -> None:
    """No outer windows at eye level: shared/field-notes.md, 2.2."""
    design = house(seed)
    lit = {
        n
        for w in design.segments
        if w.boundary == "court" and w.opening != "none"
        for n in (w.low, w.high)
    }
    out = [w for w in design.segments if w.boundary == "outer" and w.opening == "window"]
    assert not [w for w in out if {w.low, w.high} & lit]
    assert all(w.way is not None and w.way.area == 1 for w in out)


@pytest.mark.parametrize("seed", SEEDS)
def test_halls_stand_apart_and_walks_join_them(seed: int) -> None:
    design = house(seed)
    if not rooms(design, "youlang"):
        pytest.skip("a small plot, whose wings meet")
    court = courts(design)[-1]
    for wing in design.wings:
        for walk in (w for w in bays(design, wing, walks=True) if court.grown(1).meets(wing)):
            assert walk in range(3, 7)
    sides = [flank for flanks in FLANKS.values() for flank in flanks]
    assert {w.face for w in design.segments if w.boundary == "court"} == {*sides}


@pytest.mark.parametrize("seed", SEEDS)
def test_gables_are_brick_up_to_the_ridge(seed: int) -> None:
    """A hard gable shows no post: common practice."""
    design = house(seed)
    courted = {end for w in design.segments if w.boundary == "court" for end in w.ends}
    outer = [w for w in design.segments if w.boundary == "outer"]
    shown = {c for w in outer for c in (*w.cells.cells(), *w.ends)} - courted
    timber = [p.box.rect for p in design.parts if p.role == "post"]
    assert shown
    assert not any(shown.intersection(rect.cells()) for rect in timber)


@pytest.mark.parametrize("seed", SEEDS)
def test_ears_are_no_deeper_than_the_hall_between_them_and_stand_lower(seed: int) -> None:
    """Ears are lower, and may be shallower: common practice."""
    covers = house(seed).covers
    hall = next(cover for cover in covers if cover.wing == "rear")
    for ear in (cover for cover in covers if cover.wing == "ear"):
        assert ear.rect.y0 == hall.rect.y0
        assert ear.rect.y1 <= hall.rect.y1
        assert ear.base < hall.base


def test_some_ears_are_shallower() -> None:
    depths = [{c.rect.depth for c in house(s).covers if c.wing in ("rear", "ear")} for s in SEEDS]
    assert {len(some) for some in depths} == {1, 2}
