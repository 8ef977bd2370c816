"""What always holds on a side that is shared with a neighbour: a whole wall, and no water over it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import numpy as np

from tests.outside.tables import SUB, Finding

if TYPE_CHECKING:
    from tests.outside.cells import House

QUARTERS = {"west": 0, "south": 1, "east": 2, "north": 3}
"""Clockwise turns that bring each side to the west."""


def neighbours(house: House) -> Iterator[Finding]:
    """Each party side on its own, turned to the west."""
    sides = house.about.get("party", [])
    for side in sides:
        turns = -QUARTERS[side]
        beyond = [name in sides for name in _ends(side)]
        solid, room, material, roof, indoor = (
            np.rot90(a, turns)
            for a in (
                house.solid,
                house.room,
                house.material,
                house.of_stage("roof"),
                house.indoor,
            )
        )
        table = house.about["materials"]
        shown = [bool(m.get("passable") or m.get("clear")) for m in table]
        if np.array(shown)[material[0]].any():
            yield Finding("neighbours", (), f"the wall to the {side} opens or lets light through")
        if (indoor[0] | _unlike(solid[0], indoor[1])).any():
            yield Finding("neighbours", (), f"the wall to the {side} is not whole")
        tops = _tops(solid)
        for y in range(room.shape[1]):
            pieces = np.flatnonzero(material[0, y])
            if pieces.size and roof[0, y, pieces[-1]] and _spills(tops, y, beyond):
                yield Finding("neighbours", (), f"water leaves over the edge to the {side}")
                break


def _ends(side: str) -> tuple[str, str]:
    """The sides at y = 0 and at the far end, once this one is the west."""
    return {
        "west": ("south", "north"),
        "south": ("east", "west"),
        "east": ("north", "south"),
        "north": ("west", "east"),
    }[side]


def _unlike(face: np.ndarray, room: np.ndarray) -> np.ndarray:
    """Cells of a room [Y, Z] before which the outermost sub-cells [4Y, 4Z] are not all solid."""
    y, z = room.shape
    whole = face.reshape(y, SUB, z, SUB).all(axis=(1, 3))
    return np.asarray(room & ~whole)


def _tops(solid: np.ndarray) -> np.ndarray:
    """Mean height of the surface of each column, in sixty-fourths of a cell."""
    layers = np.arange(1, solid.shape[2] + 1)
    high = (solid * layers).max(axis=2)
    x, y = (n // SUB for n in high.shape)
    return np.asarray(high.reshape(x, SUB, y, SUB).sum(axis=(1, 3)))


def _spills(tops: np.ndarray, y: int, beyond: list[bool]) -> bool:
    """Whether water on the outermost column has nowhere to go but over the edge."""
    about = {}
    for i in (0, 1):
        for j in (y - 1, y, y + 1):
            if 0 <= j < tops.shape[1]:
                about[i, j] = int(tops[i, j])
            elif not beyond[j > y]:
                about[i, j] = 0
    own = about.pop((0, y))
    beside = [high for (i, _), high in about.items() if i == 0]
    gutter = about[1, y] <= own and all(high > own for high in beside)
    return min(about.values()) >= own and not gutter
