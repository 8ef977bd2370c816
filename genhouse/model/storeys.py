"""Storeys: the heights that a house has from end to end, from the ground up."""

from __future__ import annotations

from typing import Annotated

from msgspec import Meta, Struct

WELL = 4
"""Steps of a flight over which the floor above is left out, for the head."""
ATTIC = 24
"""Layers: no roof is higher."""


class Storey(Struct, frozen=True, kw_only=True, gc=False):
    """floor: z of its lowest free layer.  head: z of the beam, or of the plate, that ends it.

    tie: z of a lower tie beam, below which its walls are filled and its doors hung.
    """

    floor: int
    tie: int | None = None
    head: int

    @property
    def under_roof(self) -> bool:
        """Whether nothing but the roof is over its rooms."""
        return self.tie is None

    @property
    def ceiling(self) -> int:
        """z of the first layer above its rooms; where the roof ends them before, far above."""
        return self.head + ATTIC * self.under_roof

    @property
    def slab(self) -> int:
        """z of the layer that one walks on."""
        return self.floor - 1

    def let_down(self, cells: int) -> Storey:
        """The same with its floor so much lower, and as tall a wall up to its first beam."""
        if not cells:
            return self
        tie = None if self.tie is None else self.tie - cells
        return Storey(floor=self.floor - cells, tie=tie, head=self.head)

    @property
    def lintel(self) -> int:
        """z of the first beam over its floor."""
        return self.head if self.tie is None else self.tie


class Full(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, gc=False):
    """Free layers from the floor of a storey up to its tie beam, under which one walks, and to its head.

    head: eaves lie no lower than over a porch, and a lamp that hangs from it lights the floor.
    """

    tie: int
    head: int


class Top(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, gc=False):
    """Free layers up to the plate, of one at least for windows; the roof gives the rest."""

    head: int


class Heights(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, gc=False):
    """ground: z of the first layer above it, that of the lowest floor.  top: the last of several
    storeys, under the roof; full: all others."""

    ground: Annotated[int, Meta(ge=2, le=9)]
    full: Full
    top: Top

    def stacked(self, count: int) -> tuple[Storey, ...]:
        """So many storeys, each floor laid on the head below it."""
        found: list[Storey] = []
        for n in range(count):
            floor = 1 + (found[-1].head if found else self.ground)
            tie, head = floor + self.full.tie, floor + self.full.head
            if 0 < n == count - 1:
                found.append(Storey(floor=floor, head=floor + self.top.head))
            else:
                found.append(Storey(floor=floor, tie=tie, head=head))
        return tuple(found)
