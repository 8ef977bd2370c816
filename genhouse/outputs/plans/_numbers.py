"""What stands in the rooms by number: on the plan where it stands, by name in the list beside it."""

from __future__ import annotations

from collections import Counter

from msgspec import Struct

from genhouse.model.design import Design
from genhouse.outputs.plans._pen import DIMENSION, letters, width_of
from genhouse.outputs.storeys import Storey

SIZE = 7.0


class Number(Struct, frozen=True):
    """A fitting's number.  x, y: of its middle on the sheet."""

    text: str
    x: float
    y: float

    def draw(self) -> str:
        return letters(self.x, self.y + 0.36 * SIZE, self.text, SIZE, fill=DIMENSION)


def extent(text: str) -> tuple[float, float]:
    """What a number takes up, its rim with it."""
    return width_of(text, SIZE) + 1.2, SIZE + 1.2


def numbers_of(design: Design) -> dict[str, int]:
    """The number of each kind of fitting in the house, by name."""
    return {name: n for n, name in enumerate(sorted({p.name for p in design.placed}), 1)}


def listed_on(design: Design, storey: Storey) -> tuple[tuple[str, str], ...]:
    """The kinds that stand on a storey: number, and name with how many there are of it."""
    here = {room.id for room in storey.rooms}
    counts = Counter(p.name for p in design.placed if p.room in here)
    return tuple(
        (str(n), f"{name}, {counts[name]}" if counts[name] > 1 else name)
        for name, n in numbers_of(design).items()
        if counts[name]
    )
