"""Which walls rise to the roof, and on which of them the roof of a lower wing leans."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import zip_longest

from msgspec.structs import replace

from genhouse.core.box import Rect
from genhouse.model.elements import Wall
from genhouse.model.room import OUTSIDE
from genhouse.model.storeys import Storey
from genhouse.stages.site import Site


def raised(
    site: Site, walls: Sequence[Sequence[Wall]], storeys: Sequence[Storey]
) -> Iterator[list[Wall]]:
    """The walls of each storey with what each has to do with the roof.

    Under the roof all rise to it; of any other storey those outside, and those in which the roof of a
    wing ends at a terrace.  Where a wall stands on, what is below it does not.
    """
    for level, (here, over, storey) in enumerate(zip_longest(walls, walls[1:], storeys), 1):
        above = {s.cells for s in over or ()}
        ending = [w for w in site.wings if w.storeys == level]
        roofed = [w.rect for w in ending if not w.terrace]
        decks = [w.rect for w in ending if w.terrace]
        lower = [w.rect for w in site.wings if w.storeys < level and not w.terrace]
        yield [
            replace(
                s,
                rises=s.cells not in above
                and s.boundary != "open"
                and (storey.under_roof or _ends(s, roofed, decks)),
                abuts=s.boundary == "outer" and _beside(lower, s)[s.low != OUTSIDE],
            )
            for s in here
        ]


def _ends(wall: Wall, roofed: Sequence[Rect], decks: Sequence[Rect]) -> bool:
    """Whether the roof of a wing that is no higher ends over a wall."""
    ends = wall.shell or any(_beside(decks, wall))
    return ends and any(_beside(roofed, wall))


def _beside(rects: Sequence[Rect], wall: Wall) -> tuple[bool, bool]:
    """Whether some wings lie before and behind a wall, the wall itself apart."""
    before, behind = wall.beside(wall.cells[:2])
    return any(r.has(*before) for r in rects), any(r.has(*behind) for r in rects)
