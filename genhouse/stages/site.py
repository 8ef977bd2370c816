"""Site: the plot, its gate side, the wings round the courts.

Everything is laid out in a local frame whose gate side is the south.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from itertools import product

from genhouse.core.axes import SIDES, Side, Turn
from genhouse.core.box import Rect
from genhouse.core.draw import Draw
from genhouse.core.errors import InfeasibleError
from genhouse.model.bounds import LARGEST_PLOT, SMALLEST_PLOT
from genhouse.model.brief import Brief
from genhouse.model.roof import WingName
from genhouse.stages._rhythm import divisible
from genhouse.stages._storeys import with_storeys
from genhouse.stages._wings import Wing
from genhouse.traditions.loader import Tradition

LEAST_COURT = 6
TIERED = 8
"""Span of the narrowest wing whose roof can carry a raised tier."""
WORKING = (1, 3)
"""How many of the houses with several courts have a service court unasked."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Site:
    """plot: local size.  house: the rectangle inside the outer faces of the walls.

    courts: clear rectangles, front to rear.  service: that which is for the work of the house, the
    rearmost, or None.  turn: from here to the plot's own frame.
    """

    plot: tuple[int, int]
    turn: Turn
    gate_side: Side
    house: Rect
    wings: tuple[Wing, ...]
    courts: tuple[Rect, ...]
    service: Rect | None = None

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

    def garden_walls(self) -> tuple[Rect, ...]:
        """The wall lines that stand where a wing is missing, between the wings or to the corner."""
        house = self.house
        covered = [wing.rect for wing in self.wings]
        south = Rect(house.x0, house.y0, house.x1, house.y0 + 1)
        found: list[Rect] = []
        if "south" in self.open_sides:
            west = max(
                (r.x1 for r in covered if r.x0 == house.x0 and r.y0 == house.y0), default=house.x0
            )
            east = min(
                (r.x0 for r in covered if r.x1 == house.x1 and r.y0 == house.y0), default=house.x1
            )
            found.append(Rect(west, south.y0, east, south.y1))
        for court in self.courts:
            if "west" in self.open_sides:
                found.append(Rect(house.x0, court.y0, house.x0 + 1, court.y1))
            if "east" in self.open_sides:
                found.append(Rect(house.x1 - 1, court.y0, house.x1, court.y1))
        return tuple(found)

    @property
    def open_sides(self) -> tuple[Side, ...]:
        """The sides of the first court that a garden wall closes."""
        sides: dict[WingName, Side] = {"left": "west", "right": "east", "front": "south"}
        return tuple(side for name, side in sides.items() if self.wing(name) is None)


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


@dataclass(frozen=True, slots=True)
class _Bands:
    """One axis of the layout: wing spans (0 where there is none) and the court lengths between."""

    spans: tuple[int, ...]
    courts: tuple[int, ...]


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
    wings = with_storeys(tuple(_wings(house, wide, deep)), brief, draw.at("storeys"))
    courts = tuple(_courts(house, wide, deep))
    working = brief.service or (brief.service is None and draw.chance(*WORKING, "service"))
    return Site(
        plot=plot,
        turn=turn,
        gate_side=side,
        house=house,
        wings=wings,
        courts=courts,
        service=courts[-1] if working and len(courts) > 1 else None,
    )


def _plot(brief: Brief, draw: Draw) -> tuple[int, int]:
    """A plot as a client would bring it: mostly 21 to 29 wide and a quarter to a half deeper."""
    if brief.plot_least is not None or brief.plot_most is not None:
        (x0, y0), (x1, y1) = brief.plot_least or SMALLEST_PLOT, brief.plot_most or LARGEST_PLOT
        return draw.between(x0, x1, "plot width"), draw.between(y0, y1, "plot depth")
    width = draw.between(20, 26, "plot width") + draw.below(5, "plot width more")
    return width, min(LARGEST_PLOT[1], width * draw.between(115, 150, "plot depth") // 100)


def _layout(house: Rect, brief: Brief, tradition: Tradition, draw: Draw) -> tuple[_Bands, _Bands]:
    """Front to rear, then side to side, so that a stair fits on one axis or the other."""
    width = house.width - 1
    deep = [
        (bands, weight)
        for bands, weight in _deep_bands(house.depth - 1, brief, tradition)
        if _wide_bands(width, bands, brief, tradition)
    ]
    if not deep:
        size = (
            f"{house.width + 2 * tradition.bays.margin} x {house.depth + 2 * tradition.bays.margin}"
        )
        asked = list(_asked(brief))
        words = " and ".join(f"{n} {word}" for n, word in asked)
        do = "does" if [n for n, _ in asked] == [1] else "do"
        raise InfeasibleError(f"site: {words} {do} not fit on {size} cells", stage="site")
    chosen = draw.choice([b for b, _ in deep], "front to rear", [w for _, w in deep])
    wide = _wide_bands(width, chosen, brief, tradition)
    return chosen, draw.choice([b for b, _ in wide], "side to side", [w for _, w in wide])


def _asked(brief: Brief) -> Iterator[tuple[int, str]]:
    if brief.courts is not None:
        yield brief.courts, "courts" if brief.courts > 1 else "court"
    if brief.service and brief.courts is None:
        yield 2, "courts"
    if brief.closed is not None:
        yield brief.closed, "closed sides"
    if brief.roof.tiered:
        yield 1, "wing that can carry a raised tier"


def _deep_bands(total: int, brief: Brief, tradition: Tradition) -> Iterator[tuple[_Bands, int]]:
    """Front wing (perhaps), courts with cross wings between them, rear wing; and their weights."""
    spans = tradition.bays.spans
    cross = spans[1]
    several = (2, 3) if brief.service else (1, 2, 3)
    counts = several if brief.courts is None else (brief.courts,)
    asked = brief.roof
    fronts = (0, *spans[:3]) if asked.front != "two-tier" else [s for s in spans if s >= TIERED]
    rears = [s for s in spans if s >= TIERED or "two-tier" not in (asked.rear, asked.form)]
    for front, rear, count in product(fronts, rears, counts):
        lengths = _shares(total - front - rear - cross * (count - 1), count)
        if rear >= front and all(map(_roomy, lengths)):
            wings = (front, *(cross,) * (count - 1), rear)
            yield _Bands(wings, lengths), _liking(wings, lengths, total) * (6 if front else 1)


def _wide_bands(
    total: int, deep: _Bands, brief: Brief, tradition: Tradition
) -> list[tuple[_Bands, int]]:
    """Left wing, court, right wing; one may be missing, neither rises over a through wing."""
    through = min(span for span in deep.spans if span)
    spans = (0, *(s for s in tradition.bays.spans if s <= through))
    found: list[tuple[_Bands, int]] = []
    for left, right in product(spans, spans):
        court = total - left - right
        bands = _Bands((left, right), (court,))
        sides = 1 + sum(map(bool, (deep.spans[0], left, right)))
        wanted = (left or right) and brief.closed in (None, sides)
        if wanted and _roomy(court) and (_climbable(deep) or _climbable(bands)):
            weight = _liking(bands.spans, bands.courts, total)
            found.append((bands, weight * (8 if left and right else 1)))
    return found


def _climbable(bands: _Bands) -> bool:
    """Whether some bay along these bands is sure to be longer than the least: a stair needs one."""
    return 6 in bands.spans or any(n != 8 for n in bands.courts)


def _roomy(court: int) -> bool:
    """Wall line to wall line: room for two verandas and a garden of three cells, cut into bays."""
    return court >= LEAST_COURT and divisible(court)


def _shares(total: int, count: int) -> tuple[int, ...]:
    """Court lengths, equal but for the last, which takes what remains."""
    each = total // count
    return (*(each,) * (count - 1), total - each * (count - 1))


def _liking(spans: tuple[int, ...], courts: tuple[int, ...], total: int) -> int:
    """Weight of a layout: courts of 8 to 14 cells that take a little under half of the length."""
    built = sum(spans)
    weight = 40 - abs(built * 10 - total * 5) // 5
    weight -= sum(max(0, n - 14) * 6 + max(0, 11 - n) * 4 for n in courts)
    weight += 8 * sum(span in (6, 8) for span in spans)
    return max(1, weight) ** 2


def _lines(start: int, bands: _Bands) -> list[int]:
    """The wall lines of the through bands: start, then alternately over a span and a court."""
    lines = [start]
    for i, span in enumerate(bands.spans):
        lines.append(lines[-1] + span)
        if i < len(bands.courts):
            lines.append(lines[-1] + bands.courts[i])
    return lines


def _wings(house: Rect, wide: _Bands, deep: _Bands) -> Iterator[Wing]:
    ys, xs = _lines(house.y0, deep), _lines(house.x0, wide)
    last = len(deep.spans) - 1
    for i, span in enumerate(deep.spans):
        if span:
            name: WingName = "rear" if i == last else "cross" if i else "front"
            yield Wing(
                name=name, axis="x", rect=Rect(house.x0, ys[2 * i], house.x1, ys[2 * i + 1] + 1)
            )
    for i in range(len(deep.courts)):
        south, north = ys[2 * i + 1], ys[2 * i + 2]
        low = south + 1 if deep.spans[i] else south
        if wide.spans[0]:
            yield Wing(name="left", axis="y", rect=Rect(xs[0], low, xs[1] + 1, north))
        if wide.spans[1]:
            yield Wing(name="right", axis="y", rect=Rect(xs[2], low, xs[3] + 1, north))


def _courts(house: Rect, wide: _Bands, deep: _Bands) -> Iterator[Rect]:
    ys, xs = _lines(house.y0, deep), _lines(house.x0, wide)
    for i in range(len(deep.courts)):
        yield Rect(xs[1] + 1, ys[2 * i + 1] + 1, xs[2], ys[2 * i + 2])
