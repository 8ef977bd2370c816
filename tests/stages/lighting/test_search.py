"""The search for lamps: where it ends."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from genhouse.stages.lighting import search
from genhouse.stages.lighting.choice import Choice
from genhouse.stages.lighting.places import BRACKETED, USES, Spot

MOST = 6
"""Lamps on the walls of a room, however large; more would leave little wall (our own number)."""


class Dark:
    """A task of one room that no lamp lights; what it is told is counted."""

    lit: tuple[Spot, ...] = ()

    def with_lamps(self, spots: list[Spot]) -> Dark:
        more = Dark()
        more.lit = (*self.lit, *spots)
        return more


def test_a_room_that_stays_dark_is_given_so_many_wall_lamps_and_no_more(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    none = np.zeros((0, 3), dtype=np.int32)
    dark = Choice(lamps=(), fewest=0, enough=False, points=none, light=none[:, 0])

    def reaching(task: Any) -> Spot:
        assert len(task.lit) < 50, "it never ends"
        return Spot(cell=(len(task.lit), 0, 3), form="bracket lamp", use=USES[BRACKETED])

    def nothing(*_: object, **__: object) -> Any:
        return {0: dark}

    monkeypatch.setattr(search, "_reaching", reaching)
    monkeypatch.setattr(search, "_chosen", nothing)
    monkeypatch.setattr(search, "_by_walls", nothing)
    monkeypatch.setattr(search, "_least", lambda _: 1)
    found = search._with_wall_lamps(Dark())  # type: ignore[arg-type]
    assert [spot.cell[0] for spot in found.lamps] == list(range(MOST))
    assert not found.enough
    assert found.fewest == 0, "nothing is proven of a room that stays dark"
