"""Storeys: the heights that a house has from end to end, from the ground up."""

from __future__ import annotations

import msgspec

ATTIC = 24
"""Layers: no roof is higher."""


class Storey(msgspec.Struct, frozen=True, kw_only=True, gc=False):
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

    @property
    def lintel(self) -> int:
        """z of the first beam over its floor."""
        return self.head if self.tie is None else self.tie


class Rise(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, gc=False):
    """Free layers from the floor of a storey up to its tie beam and its head."""

    tie: int | None = None
    head: int

    def over(self, slab: int) -> Storey:
        """The storey that stands on a layer."""
        floor = slab + 1
        tie = None if self.tie is None else floor + self.tie
        return Storey(floor=floor, tie=tie, head=floor + self.head)


class Heights(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, gc=False):
    """ground: z of the first layer above it, that of the lowest floor.  top: the last of several
    storeys, under the roof; full: all others."""

    ground: int
    full: Rise
    top: Rise

    def stacked(self, count: int) -> tuple[Storey, ...]:
        """So many storeys, each floor laid on the head below it."""
        storeys = [self.full.over(self.ground)]
        for n in range(2, count + 1):
            rise = self.top if n == count else self.full
            storeys.append(rise.over(storeys[-1].head))
        return tuple(storeys)
