"""Site: the plot, its gate side, the wings round the courts.

Everything is laid out in a local frame whose gate side is the south.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cached_property, reduce

from msgspec import Struct

from genhouse.core.axes import ENDS, FLANKS, Side, Turn, opposite
from genhouse.core.box import Rect
from genhouse.core.region import Region, rectangle
from genhouse.model.roof import WingName
from genhouse.stages._wings import Wing

DRY = 2
"""Cells of gravel round all that is built, for the drip and to walk on, where eaves reach no farther."""


class Site(Struct, frozen=True, kw_only=True, dict=True):
    """plot: local size.  outline: of the plot, where it is no rectangle.  courts: clear rectangles, front
    to rear.  walls: the wall lines that stand where no wing closes a court.  party: the sides that are
    shared with a neighbour, as far as the plot reaches to them.  service: the court that is
    for the work of the house, the rearmost, or None.  turn: from here to the plot's own frame.
    gardens: the part of each court inside its verandas, where these are deeper than one cell.
    dry: cells round all that is built on which nothing grows, for eaves lie over them.
    falls: by x and y, how far the ground or the lowest floor of a cell lies below the highest; none where
    all of it is level.
    """

    plot: tuple[int, int]
    turn: Turn
    gate_side: Side
    wings: tuple[Wing, ...]
    courts: tuple[Rect, ...]
    walls: tuple[Rect, ...] = ()
    party: tuple[Side, ...] = ()
    service: Rect | None = None
    arrangement: str = "ring"
    outline: Region | None = None
    gardens: tuple[Rect, ...] = ()
    dry: int = DRY
    falls: tuple[tuple[int, ...], ...] = ()

    def fall(self, x: int, y: int) -> int:
        """How far the ground or the lowest floor of a cell lies below the highest."""
        return self.falls[x][y] if self.falls else 0

    @property
    def land(self) -> Region:
        """The ground of the plot."""
        return self.outline or rectangle(self.plot)

    @property
    def house(self) -> Rect:
        """The smallest rectangle that holds its wings and walls."""
        return reduce(Rect.hull, (*(wing.rect for wing in self.wings), *self.walls))

    @property
    def built(self) -> tuple[Rect, ...]:
        """The ground that wings, courts and walls take."""
        return (*(wing.rect for wing in self.wings), *self.courts, *self.walls)

    @property
    def ground(self) -> Rect:
        """All of the plot."""
        return Rect(0, 0, *self.plot)

    def gap(self, place: Rect, side: Side) -> int:
        """Cells between a place and an edge of the plot."""
        x0, y0, x1, y1 = place
        return {"west": x0, "south": y0, "east": self.plot[0] - x1, "north": self.plot[1] - y1}[
            side
        ]

    def is_open(self, place: Rect) -> bool:
        """Whether no wing and no court lies in a place."""
        taken = (*(wing.rect for wing in self.wings), *self.courts)
        return not any(rect.meets(place) for rect in taken)

    def is_closed(self, line: Rect) -> bool:
        """Whether wings stand along the whole of a line."""
        return sum(wing.rect.meet(line).area for wing in self.wings) == line.area

    @property
    def roofed(self) -> tuple[Wing, ...]:
        """The wings that are no terraces."""
        return tuple(w for w in self.wings if not w.terrace)

    def wing(self, name: WingName) -> Wing | None:
        return next((w for w in self.wings if w.name == name), None)

    @cached_property
    def _rounds(self) -> Mapping[Rect, Mapping[Side, Wing]]:
        """Asked for hundreds of times while a house is laid out."""
        return {court: dict(self._found_round(court)) for court in self.courts}

    def round(self, court: Rect) -> Mapping[Side, Wing]:
        """The wings round a court, by side; of several in a row the longest."""
        return self._rounds[court]

    def _found_round(self, court: Rect) -> Iterator[tuple[Side, Wing]]:
        near = [wing for wing in self.wings if wing.rect.meets(court.grown(1))]
        for side, strip in lines_round(court).items():
            beside = [(wing.rect.meet(strip).area, wing) for wing in near]
            if sum(area for area, _ in beside) == strip.area:
                yield side, max(beside, key=lambda pair: pair[0])[1]

    def winged(self, court: Rect) -> tuple[Side, ...]:
        """The sides of a court on which a wing stands."""
        return tuple(self.round(court))

    @property
    def approach(self) -> Rect:
        """The ground before the first court, out to the edge of the plot."""
        court = self.courts[0]
        front = self.round(court).get("south")
        return Rect(court.x0, 0, court.x1, court.y0 - 1 if front is None else front.rect.y0)

    def before(self, x: int, y: int) -> int:
        """How far toward the gate's side one gets from a cell, straight on within the plot: the last y."""
        while self.land.has(x, y - 1):
            y -= 1
        return y

    def seclusion(self, front: Rect) -> int:
        """How the ground before a front lies: 0 where it is the plot's own, out to the gate's side of all
        of it; 1 where it ends on the way there; 2 where more of the plot lies beyond that."""
        if self.land.holds(Rect(front.x0, 0, front.x1, front.y1)):
            return 0
        ends = [(x, self.before(x, front.y1 - 1)) for x in range(front.x0, front.x1)]
        return 2 if any(self.land.has(x, n) for x, y in ends for n in range(y - 1)) else 1

    def garden(self, court: Rect) -> Rect:
        """The part of a court inside its verandas."""
        if self.gardens:
            return self.gardens[self.courts.index(court)]
        return within(court, dict.fromkeys(self.winged(court), 1))

    def depths(self, court: Rect) -> dict[Side, int]:
        """Cells of the veranda on each side of a court on which there is one."""
        inner = self.garden(court)
        found: dict[Side, int] = {
            "south": inner.y0 - court.y0,
            "north": court.y1 - inner.y1,
            "west": inner.x0 - court.x0,
            "east": court.x1 - inner.x1,
        }
        return {side: depth for side, depth in found.items() if depth}

    def verandas(self, court: Rect) -> tuple[Rect, ...]:
        """Strips along the wings; those to north and south run through."""
        return tuple(strips_along(court, self.depths(court)).values())

    @cached_property
    def _pasts(self) -> Mapping[tuple[Wing, Side], Wing | None]:
        """Asked for as often."""
        sides = (*ENDS["x"], *ENDS["y"])
        return {(w, side): self._found_past(w, side) for w in self.wings for side in sides}

    def past(self, wing: Wing, side: Side) -> Wing | None:
        """The wing whose wall closes a whole side of another; of two that close each other the first."""
        return self._pasts[wing, side]

    def _found_past(self, wing: Wing, side: Side) -> Wing | None:
        line = line_along(wing.rect, side)
        for other in self.wings:
            if other.rect.meets(line) and self.shuts(other, wing, side):
                mutual = self.shuts(wing, other, opposite(side))
                if not mutual or self.wings.index(other) < self.wings.index(wing):
                    return other
        return None

    def shuts(self, wing: Wing, other: Wing, side: Side) -> bool:
        """Whether a wing closes a whole side of another; where several do, that which does so between its
        wall lines."""
        line = line_along(other.rect, side)
        if not wing.rect.meets(line):
            return False
        if wing.rect.holds(line) or not wing.rect.holds(between(line)):
            return wing.rect.holds(line)
        return self.is_closed(line)

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
        rows = (line_along(wing.rect, side) for side in FLANKS[wing.axis])
        low, high = (not any(court.meets(row) for court in self.courts) for row in rows)
        return low, high


def closes(wing: Wing, other: Wing, side: Side) -> bool:
    """Whether a wing stands along the whole of a side of another."""
    return wing.rect.holds(line_along(other.rect, side))


def stands_alone(site: Site, wing: Wing) -> bool:
    """Whether a wing stands by no other and by no court."""
    others = (*(other.rect for other in site.wings if other.rect != wing.rect), *site.courts)
    return not any(map(wing.rect.grown(1).meets, others))


def within(court: Rect, depths: Mapping[Side, int]) -> Rect:
    """A court without strips so many cells deep along some of its sides."""
    west, south, east, north = (depths.get(s, 0) for s in ("west", "south", "east", "north"))
    return Rect(court.x0 + west, court.y0 + south, court.x1 - east, court.y1 - north)


def strips_along(court: Rect, depths: Mapping[Side, int]) -> dict[Side, Rect]:
    """Strips so many cells deep along some sides of a court: those to south and north run through to the
    walls, and so do the others where they are free."""
    x0, y0, x1, y1 = court
    inner = within(court, depths)
    strips: dict[Side, Rect] = {
        "south": Rect(x0, y0, x1, inner.y0),
        "north": Rect(x0, inner.y1, x1, y1),
        "west": Rect(x0, inner.y0, inner.x0, inner.y1),
        "east": Rect(inner.x1, inner.y0, x1, inner.y1),
    }
    return {side: strip for side, strip in strips.items() if side in depths}


def between(line: Rect) -> Rect:
    """A line of cells without its first and its last."""
    lying = line.lie(line.longer)
    return Rect(lying.x0 + 1, lying.y0, lying.x1 - 1, lying.y1).lie(line.longer)


def edge_of(site: Site, side: Side) -> Rect:
    """The outermost cells of the plot on a side."""
    return line_along(site.ground, side, 0)


def line_along(court: Rect, side: Side, off: int = 1) -> Rect:
    """The line of cells just outside a side of a court: where its wall stands.  off: from its last cell."""
    x0, y0, x1, y1 = court
    match side:
        case "south":
            return Rect(x0, y0 - off, x1, y0 - off + 1)
        case "north":
            return Rect(x0, y1 + off - 1, x1, y1 + off)
        case "west":
            return Rect(x0 - off, y0, x0 - off + 1, y1)
        case "east":
            return Rect(x1 + off - 1, y0, x1 + off, y1)


def lines_round(court: Rect, off: int = 1) -> dict[Side, Rect]:
    """Those of all its sides."""
    return {side: line_along(court, side, off) for side in ("south", "north", "west", "east")}
