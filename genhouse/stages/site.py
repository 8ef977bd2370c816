"""Site: the plot, its gate side, the wings round the courts.

Everything is laid out in a local frame whose gate side is the south.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from functools import reduce

from genhouse.core.axes import ENDS, FLANKS, SIDES, Side, Turn, opposite
from genhouse.core.box import Rect
from genhouse.core.draw import Draw
from genhouse.core.errors import InfeasibleError
from genhouse.model.bounds import LARGEST_PLOT, SMALLEST_PLOT
from genhouse.model.brief import Brief
from genhouse.model.roof import WingName
from genhouse.stages import _bands
from genhouse.stages._bands import (
    Bands,
    courts_along,
    deep_bands,
    walls_along,
    wide_bands,
    wings_along,
)
from genhouse.stages._storeys import with_storeys
from genhouse.stages._wings import Wing
from genhouse.traditions.tradition import Tradition

GARDEN = 40
"""Cells of the smallest garden, where a plot has room for it: more than most stair halls."""
WORKING = (1, 3)
"""How many of the houses with several courts have a service court unasked."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Site:
    """plot: local size.  courts: clear rectangles, front to rear.  walls: the wall lines that stand where
    no wing closes a court.  service: the court that is for the work of the house, the rearmost, or None.
    turn: from here to the plot's own frame.
    """

    plot: tuple[int, int]
    turn: Turn
    gate_side: Side
    wings: tuple[Wing, ...]
    courts: tuple[Rect, ...]
    walls: tuple[Rect, ...] = ()
    service: Rect | None = None

    @property
    def house(self) -> Rect:
        """The smallest rectangle that holds its wings and walls."""
        return reduce(Rect.hull, (*(wing.rect for wing in self.wings), *self.walls))

    @property
    def roofed(self) -> tuple[Wing, ...]:
        """The wings that are no terraces."""
        return tuple(w for w in self.wings if not w.terrace)

    def wing(self, name: WingName) -> Wing | None:
        return next((w for w in self.wings if w.name == name), None)

    def round(self, court: Rect) -> dict[Side, Wing]:
        """The wings round a court, by side."""
        return {
            side: wing
            for side, strip in lines_round(court).items()
            for wing in self.wings
            if wing.rect.meet(strip).area == strip.area
        }

    def winged(self, court: Rect) -> tuple[Side, ...]:
        """The sides of a court on which a wing stands."""
        return tuple(self.round(court))

    def garden(self, court: Rect) -> Rect:
        """The part of a court inside its verandas."""
        return within(court, self.winged(court))

    def verandas(self, court: Rect) -> tuple[Rect, ...]:
        """Strips one cell deep along the wings; those to north and south run through."""
        return tuple(strips_along(court, self.winged(court)).values())

    def past(self, wing: Wing, side: Side) -> Wing | None:
        """The wing whose wall closes a whole side of another; of two that close each other the first."""
        for other in self.wings:
            if closes(other, wing, side):
                mutual = closes(wing, other, opposite(side))
                if not mutual or self.wings.index(other) < self.wings.index(wing):
                    return other
        return None

    def host(self, wing: Wing, end: int) -> Wing | None:
        """The wing into which the low (0) or the high (1) end of one dies; None where that end is free."""
        return self.past(wing, ENDS[wing.axis][end])

    def frame(self, wing: Wing) -> Rect:
        """The ground of a wing out to its wall lines, those of its hosts too, as it runs."""
        (low, high), (near, far) = ENDS[wing.axis], FLANKS[wing.axis]
        x0, y0, x1, y1 = wing.lie
        return Rect(
            x0 - (self.past(wing, low) is not None),
            y0 - (self.past(wing, near) is not None),
            x1 + (self.past(wing, high) is not None),
            y1 + (self.past(wing, far) is not None),
        )

    def outward(self, wing: Wing) -> tuple[bool, bool]:
        """Whether the low and the high flank of a wing look outward: no court lies along them."""
        a0, b0, a1, b1 = wing.lie
        rows = Rect(a0, b0 - 1, a1, b0), Rect(a0, b1, a1, b1 + 1)
        low, high = (
            not any(court.meets(row.lie(wing.axis)) for court in self.courts) for row in rows
        )
        return low, high


def closes(wing: Wing, other: Wing, side: Side) -> bool:
    """Whether a wing stands along the whole of a side of another."""
    strip = lines_round(other.rect)[side]
    return wing.rect.meet(strip).area == strip.area


def within(court: Rect, sides: Collection[Side]) -> Rect:
    """A court without a strip one cell deep along some of its sides."""
    return Rect(
        court.x0 + ("west" in sides),
        court.y0 + ("south" in sides),
        court.x1 - ("east" in sides),
        court.y1 - ("north" in sides),
    )


def strips_along(court: Rect, sides: Collection[Side]) -> dict[Side, Rect]:
    """Strips one cell deep along some sides of a court: those to south and north run through to the
    walls, and so do the others where they are free."""
    x0, y0, x1, y1 = court
    low, high = y0 + ("south" in sides), y1 - ("north" in sides)
    strips: dict[Side, Rect] = {
        "south": Rect(x0, y0, x1, y0 + 1),
        "north": Rect(x0, y1 - 1, x1, y1),
        "west": Rect(x0, low, x0 + 1, high),
        "east": Rect(x1 - 1, low, x1, high),
    }
    return {side: strip for side, strip in strips.items() if side in sides}


def lines_round(court: Rect) -> dict[Side, Rect]:
    """The lines of cells just outside a court, by side: where its walls stand."""
    x0, y0, x1, y1 = court
    return {
        "south": Rect(x0, y0 - 1, x1, y0),
        "north": Rect(x0, y1, x1, y1 + 1),
        "west": Rect(x0 - 1, y0, x0, y1),
        "east": Rect(x1, y0, x1 + 1, y1),
    }


def plan_site(brief: Brief, tradition: Tradition, draw: Draw) -> Site:
    """Choose a plot and the wings on it.  Raises InfeasibleError where no wings fit as asked."""
    drawn = draw.choice(SIDES, "gate side", weights=(2, 1, 2, 5))
    side = brief.gate if brief.gate is not None else drawn
    world = brief.plot or _plot(brief, draw)
    quarters = (SIDES.index(side) - SIDES.index("south")) % 4
    plot = (world[1], world[0]) if quarters % 2 else world
    turn = Turn(*plot, quarters, brief.mirror)
    margin = tradition.bays.margin
    house = Rect(0, 0, *plot).grown(-margin)
    deep, wide = _layout(house, brief, tradition, draw)
    wings = with_storeys(tuple(wings_along(house, wide, deep)), brief, draw.at("storeys"))
    courts = tuple(courts_along(house, wide, deep))
    working = brief.service or (brief.service is None and draw.chance(*WORKING, "service"))
    return Site(
        plot=plot,
        turn=turn,
        gate_side=side,
        wings=wings,
        courts=courts,
        walls=tuple(walls_along(house, wide, deep)),
        service=courts[-1] if working and len(courts) > 1 else None,
    )


def conceivable(brief: Brief, tradition: Tradition) -> bool:
    """Whether the wings that a brief speaks of find a place: false only where no seed could find one."""
    if brief.plot is None:
        return _bands.conceivable(brief, tradition)
    sides = SIDES if brief.gate is None else (brief.gate,)
    turned = {SIDES.index(side) % 2 == SIDES.index("south") % 2 for side in sides}
    plots = [brief.plot if straight else brief.plot[::-1] for straight in sorted(turned)]
    houses = [Rect(0, 0, *plot).grown(-tradition.bays.margin) for plot in plots]
    return any(
        wide_bands(house.width - 1, deep, brief, tradition)
        for house in houses
        for deep, _ in deep_bands(house.depth - 1, brief, tradition)
    )


def _plot(brief: Brief, draw: Draw) -> tuple[int, int]:
    """A plot as a client would bring it: mostly 21 to 29 wide and a quarter to a half deeper."""
    if brief.plot_least is not None or brief.plot_most is not None:
        (x0, y0), (x1, y1) = brief.plot_least or SMALLEST_PLOT, brief.plot_most or LARGEST_PLOT
        return draw.between(x0, x1, "plot width"), draw.between(y0, y1, "plot depth")
    width = draw.between(20, 26, "plot width") + draw.below(5, "plot width more")
    return width, min(LARGEST_PLOT[1], width * draw.between(115, 150, "plot depth") // 100)


def _layout(house: Rect, brief: Brief, tradition: Tradition, draw: Draw) -> tuple[Bands, Bands]:
    """Front to rear, then side to side, so that a stair fits on one axis or the other."""
    width = house.width - 1
    bands = list(deep_bands(house.depth - 1, brief, tradition))
    wide = {b: wide_bands(width, b, brief, tradition) for b, _ in bands}
    deep = [(b, weight) for b, weight in bands if wide[b]]
    if not deep:
        margin = 2 * tradition.bays.margin
        raise InfeasibleError(
            f"site: no wings round a court on {house.width + margin} x {house.depth + margin} cells "
            "are what the brief asks for",
            stage="site",
        )
    pleasant = {b: [(w, n) for w, n in wide[b] if _garden(b, w) >= GARDEN] for b, _ in deep}
    some = [(b, n) for b, n in deep if pleasant[b]] or deep
    chosen = draw.choice([b for b, _ in some], "front to rear", [n for _, n in some])
    sides = pleasant[chosen] or wide[chosen]
    return chosen, draw.choice([w for w, _ in sides], "side to side", [n for _, n in sides])


def _garden(deep: Bands, wide: Bands) -> int:
    """Cells of the largest garden inside its verandas."""
    across = wide.courts[0] - 1 - sum(map(bool, wide.spans))
    along = max(n - 2 - bool(south) for n, south in zip(deep.courts, deep.spans, strict=False))
    return across * along
