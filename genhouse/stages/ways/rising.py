"""Which walls rise to the roof, and on which of them the roof of a lower wing leans."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec.structs import replace

from genhouse.core.box import Rect
from genhouse.model.elements import Wall
from genhouse.model.room import OUTSIDE
from genhouse.stages.site import Site


def raised(
    site: Site, lower: Sequence[Wall], upper: Sequence[Wall]
) -> tuple[list[Wall], list[Wall]]:
    """The walls with what each has to do with the roof.

    Of an upper storey all rise to it; of a lower one those outside, and those in which the roof of a
    wing ends at a terrace.  Where a wall stands on, what is below it does not.
    """
    above = {s.cells for s in upper}
    decks = [w.rect for w in site.wings if w.terrace]
    roofed = [w.rect for w in site.wings if w.storeys == 1 and not w.terrace]

    def over(rects: Sequence[Rect], s: Wall) -> tuple[bool, bool]:
        """Whether some wings lie before and behind a wall, the wall itself apart."""
        before, behind = s.beside(s.cells[:2])
        return (any(r.has(*before) for r in rects), any(r.has(*behind) for r in rects))

    def rises(s: Wall) -> bool:
        within = over(roofed, s)
        ends = s.boundary in ("outer", "court") or (any(within) and any(over(decks, s)))
        return s.cells not in above and any(within) and ends and s.boundary != "open"

    def abuts(s: Wall) -> bool:
        under = over(roofed, s)
        return s.boundary == "outer" and under[s.low != OUTSIDE]

    return (
        [replace(s, rises=rises(s)) for s in lower],
        [replace(s, rises=s.boundary != "open", abuts=abuts(s)) for s in upper],
    )
