"""A yard: open ground of a plot that no court has, put to one use."""

from __future__ import annotations

from msgspec import Struct
from msgspec.structs import replace

from genhouse.core.axes import Turn
from genhouse.core.box import Rect


class Yard(Struct, frozen=True, kw_only=True):
    """use: what it is for, by name.  rects: its ground, the widest part first.

    room: the id of the room before whose wall it lies and that it serves; 0 where it serves the house.
    gate: the cells of a gate that opens into it, or None.
    """

    use: str
    rects: tuple[Rect, ...]
    room: int = 0
    gate: Rect | None = None

    @property
    def area(self) -> int:
        """Ground in cells."""
        return sum(r.area for r in self.rects)

    def turned(self, turn: Turn) -> Yard:
        return replace(
            self,
            rects=tuple(map(turn.rect, self.rects)),
            gate=turn.rect(self.gate) if self.gate else None,
        )
