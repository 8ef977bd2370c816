"""What a tradition builds about its courts: columns along deep verandas, atria under their roofs."""

from __future__ import annotations

from typing import Annotated

from msgspec import Meta

from genhouse.traditions.reading import Table

Whole = Annotated[int, Meta(ge=1)]


class Atrium(Table, frozen=True, kw_only=True):
    """A first court most of which lies under its roofs.  width: clear cells.  ratios: its length to that.

    opening: of its width and of its length the least and the most that is left open to the sky.
    """

    width: Annotated[int, Meta(ge=6, le=14)]
    ratios: Annotated[tuple[tuple[Whole, Whole], ...], Meta(min_length=1)]
    opening: tuple[tuple[Whole, Whole], tuple[Whole, Whole]]

    @property
    def lengths(self) -> tuple[int, ...]:
        """Clear cells that it may be long, each the nearest to one of the ratios.

        >>> Atrium(width=8, ratios=((5, 3), (3, 2)), opening=((1, 4), (1, 3))).lengths
        (13, 12)
        """
        return tuple((2 * self.width * n + d) // (2 * d) for n, d in self.ratios)

    def open_of(self, length: int) -> int:
        """Cells that are left open of so many: as many again on both sides, and nearest to the middle of
        what may be.

        >>> Atrium(width=8, ratios=((3, 2),), opening=((1, 4), (1, 3))).open_of(12)
        4
        """
        (a, b), (c, d) = self.opening
        may = range(1 + (length + 1) % 2, length - 1, 2)
        return min(may, key=lambda n: (abs(2 * n * b * d - length * (a * d + c * b)), n))

    def higher(self, length: int) -> int:
        """Half cells by which walls about an atrium so long are higher where its length tells how high, not
        its width: three quarters of either.

        >>> [Atrium(width=8, ratios=((3, 2),), opening=((1, 4), (1, 3))).higher(n) for n in (11, 12, 13)]
        [4, 6, 8]
        """
        long, wide = ((3 * n + 2) // 4 for n in (length, self.width))
        return 2 * (long - wide)


class Arcade(Table, frozen=True, kw_only=True):
    """Columns along the outer row of a deep veranda.  gap: clear cells from one to the next, at most.

    arched: whether arches spring from them.
    """

    gap: Annotated[int, Meta(ge=1, le=6)]
    arched: bool = False
