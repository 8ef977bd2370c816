"""Weather: rain from straight above; sky past the eaves, through faces, edges and corners."""

from __future__ import annotations

import numpy as np
import pytest

from genhouse.inspection.weather import weather
from genhouse.model.voxels import RoomEntry
from tests.inspection.blocks import EAVES, Hut


def sentences(hut: Hut) -> list[str]:
    return [f.sentence for f in weather(hut.voxels(), hut.sub()).findings]


RAIN, SKY = "rain falls on an indoor cell", "the sky reaches under the roof"


def lofty() -> Hut:
    return lofty_in((8, 8, 8))


def lofty_in(size: tuple[int, int, int]) -> Hut:
    """The hut with its room open to a hollow roof two layers high."""
    hut = Hut(size)
    hut.set(np.s_[1:6, 1:6, EAVES + 1], stage="roof")
    hut.clear(np.s_[2:5, 2:5, EAVES])
    hut.room[2:5, 2:5, EAVES] = 1
    return hut


def test_a_hut_is_dry() -> None:
    assert sentences(Hut()) == sentences(lofty()) == []


def test_a_quarter_of_a_hole_lets_rain_in() -> None:
    hut = Hut()
    hut.set(np.s_[3, 3, EAVES], form="stout post", stage="roof")
    assert RAIN in sentences(hut)


def test_a_roof_anywhere_above_keeps_rain_off() -> None:
    hut = Hut()
    hut.clear(np.s_[3, 3, EAVES])
    hut.set(np.s_[3, 3, 7], stage="roof")
    assert RAIN not in sentences(hut)


def test_a_gap_in_a_gable_lets_in_the_sky_but_no_rain() -> None:
    hut = lofty()
    hut.clear(np.s_[1, 3, EAVES])
    assert sentences(hut) == [SKY]


def test_a_gap_below_the_eaves_is_a_window() -> None:
    hut = Hut()
    hut.clear(np.s_[1, 3, 2])
    assert sentences(hut) == []


@pytest.mark.parametrize(
    ("dx", "dy"), [(1, 0), (0, 1), (1, 1)], ids=["edge", "other edge", "corner"]
)
def test_a_roof_closed_by_edges_or_corners_only_is_open(dx: int, dy: int) -> None:
    """A shaft from above ends one cell aside of a void below: they share an edge or a corner."""
    hut = Hut()
    hut.set(np.s_[1:6, 1:6, EAVES : EAVES + 3], stage="roof")
    hut.clear(np.s_[3, 3, EAVES + 1 :])
    assert sentences(hut) == []
    hut.clear(np.s_[3 + dx, 3 + dy, EAVES])
    assert sentences(hut) == [SKY]


def test_the_void_over_a_ceiling_counts_too() -> None:
    """Air of no room, over a room and under the roof's first piece."""
    hut = Hut()
    hut.set(np.s_[1:6, 1:6, EAVES], stage="walls")
    hut.set(np.s_[1:6, 1:6, EAVES + 1], stage="walls")
    hut.clear(np.s_[2:5, 2:5, EAVES + 1])
    hut.set(np.s_[1:6, 1:6, EAVES + 2], stage="roof")
    assert sentences(hut) == []
    hut.clear(np.s_[1, 3, EAVES + 1])
    assert sentences(hut) == [SKY]


def beside_a_tower() -> Hut:
    """The lofty hut with a higher one beyond a lane, whose room lies on a floor of its own."""
    hut = lofty_in((16, 8, 12))
    hut.eaves = 8
    hut.set(np.s_[9:14, 1:6, 1:8])
    hut.clear(np.s_[10:13, 2:5, 5:8])
    hut.set(np.s_[9:14, 1:6, 8], stage="roof")
    hut.room[10:13, 2:5, 5:8] = 2
    hut.rooms.append(RoomEntry(id=2, kind="lookout", level=2, indoor=True, walkable=True))
    return hut


def test_each_part_has_eaves_of_its_own() -> None:
    hut = beside_a_tower()
    assert sentences(hut) == []
    hut.clear(np.s_[1, 3, 2])
    assert sentences(hut) == []  # a window of the lower part
    hut.clear(np.s_[9, 3, 6])
    assert sentences(hut) == []  # and one of the higher
    hut.clear(np.s_[1, 3, EAVES])
    assert sentences(hut) == [SKY]


def test_the_gable_of_the_higher_part_is_asked_as_well() -> None:
    hut = beside_a_tower()
    hut.set(np.s_[9:14, 1:6, 9], stage="roof")
    hut.clear(np.s_[10:13, 2:5, 8])
    hut.room[10:13, 2:5, 8] = 2
    assert sentences(hut) == []
    hut.clear(np.s_[9, 3, 8])
    assert sentences(hut) == [SKY]


def test_all_of_a_column_under_a_hole_is_wet_down_to_what_lies_on_the_floor() -> None:
    hut = Hut()
    hut.clear(np.s_[3, 3, EAVES])
    hut.set(np.s_[3, 3, 1], stage="fittings")
    rain = next(f for f in weather(hut.voxels(), hut.sub()).findings if f.sentence == RAIN)
    assert (rain.where, rain.count) == (((3, 3, 1), (3, 3, 2), (3, 3, 3)), 3)


def barn(hut: Hut, x: int, stage: str = "walls") -> None:
    """A house three cells wide within, under a hollow roof; its room reaches a layer over the walls, where
    the roof begins.  stage: that sets its walls."""
    hut.set(np.s_[x : x + 5, 1:6, 1:4], stage=stage)
    hut.set(np.s_[x : x + 5, 1:6, 4:7], stage="roof")
    hut.clear(np.s_[x + 1 : x + 4, 2:5, 1:6])
    number = len(hut.rooms) + 1
    hut.room[x + 1 : x + 4, 2:5, 1:6] = number
    hut.rooms.append(RoomEntry(id=number, kind="barn", level=1, indoor=True, walkable=True))


def barns(*stages: str) -> Hut:
    """Barns side by side, a lane between them, eaves a layer over the heads of walls."""
    hut = Hut((8 * len(stages), 8, 12))
    hut.clear(np.s_[:, :, 1:])
    hut.room[:] = 0
    hut.rooms.clear()
    for n, stage in enumerate(stages):
        barn(hut, 8 * n + 1, stage)
    hut.eaves = 5
    return hut


def gap(hut: Hut, n: int, z: int) -> list[str]:
    """What is found where the gable of a barn has a hole."""
    hut.clear(np.s_[8 * n + 1, 3, z])
    return sentences(hut)


@pytest.mark.parametrize("n", [0, 1, 2])
def test_every_part_with_eaves_as_high_is_asked(n: int) -> None:
    assert sentences(barns("walls", "walls", "walls")) == []
    assert gap(barns("walls", "walls", "walls"), n, 4) == []
    assert gap(barns("walls", "walls", "walls"), n, 5) == [SKY]


def test_a_part_without_walls_has_the_eaves_that_the_house_tells() -> None:
    """Those of the barn before it lie a layer over the heads of its walls, and so do these."""
    assert gap(barns("walls", "court"), 1, 4) == []
    assert gap(barns("walls", "court"), 1, 5) == [SKY]


def test_where_the_first_part_has_no_walls_eaves_lie_at_the_heads_of_all_others() -> None:
    assert gap(barns("court", "walls"), 0, 5) == [SKY]
    assert gap(barns("court", "walls"), 0, 4) == []
    assert gap(barns("court", "walls"), 1, 3) == []
    assert gap(barns("court", "walls"), 1, 4) == [SKY]
