"""Fittings: what makes a room a bedroom or a kitchen, placed so that all of it can be reached and used."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from genhouse.core.axes import STEP, Side, Turn
from genhouse.core.box import Box, Rect
from genhouse.core.draw import WORD, Draw
from genhouse.core.forms import turned
from genhouse.model.design import Placed
from genhouse.model.part import Part
from genhouse.model.room import Room
from genhouse.stages._floorplan import Floor
from genhouse.stages.rooms import Hearth, Rooms
from genhouse.traditions.loader import Fitting, Tradition

FULLEST = 55
"""Part of a room's floor, in hundredths, beyond which nothing more is put in."""
FACING: tuple[Side, ...] = ("south", "east", "north", "west")
"""By quarter turns from the way a fitting is drawn."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Spot:
    """One way to stand a fitting.  solid: the cells its pieces stand on.  use: where a user stands."""

    cells: Rect
    facing: Side
    solid: int
    use: int


def plan_fittings(
    rooms: Rooms, floors: Sequence[Floor], tradition: Tradition, draw: Draw
) -> tuple[Placed, ...]:
    """Furnish every indoor room."""
    by_id = {room.id: room for room in rooms.rooms}
    placed: list[Placed] = []
    for floor in floors:
        placed += _furnish(by_id[floor.room], floor, rooms.hearth, tradition, draw.at(floor.room))
    return tuple(placed)


def _furnish(
    room: Room, floor: Floor, hearth: Hearth, tradition: Tradition, draw: Draw
) -> Iterator[Placed]:
    left, keep = floor.free, floor.keep
    if hearth.room == room.id:
        stove = _stove(room, hearth)
        yield stove
        keep |= floor.bits(stove.use)
    whole = left.bit_count()
    for n, wanted in enumerate(tradition.kind(room.kind).fittings):
        if 100 * (whole - left.bit_count()) > FULLEST * whole:
            return
        for name, fitting in _sizes(wanted, tradition):
            spot = _place(fitting, floor, left, keep, draw.at(n, name))
            if spot is not None:
                left &= ~spot.solid
                keep |= spot.use
                yield Placed(
                    name=name,
                    room=room.id,
                    cells=spot.cells,
                    floor=room.floor,
                    facing=spot.facing,
                    use=tuple(floor.cells(spot.use)),
                )
                break


def _sizes(name: str, tradition: Tradition) -> Iterator[tuple[str, Fitting]]:
    """A fitting, then what may stand for it where it does not fit."""
    while name:
        fitting = tradition.fitting(name)
        yield name, fitting
        name = fitting.smaller


def _stove(room: Room, hearth: Hearth) -> Placed:
    x, y = hearth.cell
    dx, dy = STEP[hearth.facing]
    return Placed(
        name="stove",
        room=room.id,
        cells=Rect(x, y, x + 1, y + 1),
        floor=room.floor,
        facing=hearth.facing,
        use=((x + dx, y + dy),),
    )


def _place(fitting: Fitting, floor: Floor, left: int, keep: int, draw: Draw) -> _Spot | None:
    """The best spot that leaves every kept cell reachable, or None.  Equal spots are told apart by
    one drawn word."""
    if fitting.against == "flue":
        return None
    room = floor.high[max(pz for _, _, pz, _, _ in fitting.pieces)] & left & ~keep
    spots = [s for s in _spots(fitting, floor) if not s.solid & ~room and not s.use & ~left]
    word = draw.word("spot") | 1
    ranked = sorted(
        range(len(spots)),
        key=lambda i: (-_liking(fitting, spots[i], floor), (i + 1) * word & WORD),
    )
    for i in ranked:
        if floor.connected(left & ~spots[i].solid, keep | spots[i].use):
            return spots[i]
    return None


def _spots(fitting: Fitting, floor: Floor) -> Iterator[_Spot]:
    """Every place and turn in which a fitting stands against what it must stand against."""
    for quarters, facing in enumerate(FACING):
        width, depth = fitting.size if quarters % 2 == 0 else fitting.size[::-1]
        turn = Turn(*fitting.size, quarters)
        origin = (floor.rect.x0, floor.rect.y0)
        feet = [turn.cell(x, y, 0) for x, y, z, _, _ in fitting.pieces if z == 0]
        base = floor.bits((origin[0] + x, origin[1] + y) for x, y, _ in feet)
        for x, y in _corners(fitting, floor.rect, facing, width, depth):
            cells = Rect(x, y, x + width, y + depth)
            solid = floor.shifted(base, x, y)
            yield _Spot(
                cells=cells,
                facing=facing,
                solid=solid,
                use=_use(fitting, cells, facing, solid, floor),
            )


def _corners(
    fitting: Fitting, rect: Rect, facing: Side, width: int, depth: int
) -> Iterator[tuple[int, int]]:
    """South-west corners at which a footprint of this size may lie."""
    xs, ys = range(rect.x0, rect.x1 - width + 1), range(rect.y0, rect.y1 - depth + 1)
    if not xs or not ys:
        return
    if fitting.against in ("wall", "corner"):
        ends = fitting.against == "corner"
        match facing:
            case "south":
                xs, ys = _ends(xs, ends), ys[-1:]
            case "north":
                xs, ys = _ends(xs, ends), ys[:1]
            case "east":
                xs, ys = xs[:1], _ends(ys, ends)
            case "west":
                xs, ys = xs[-1:], _ends(ys, ends)
    yield from ((x, y) for y in ys for x in xs)


def _ends(places: range, only: bool) -> range:
    return places[:: max(1, len(places) - 1)] if only else places


def _use(fitting: Fitting, cells: Rect, facing: Side, solid: int, floor: Floor) -> int:
    """The cell before the middle of its front; none for what is used from all round."""
    if fitting.around:
        return 0
    dx, dy = STEP[facing]
    x, y = (cells.x0 + cells.x1 - 1) // 2, (cells.y0 + cells.y1 - 1) // 2
    x = cells.x1 if dx > 0 else cells.x0 - 1 if dx < 0 else x
    y = cells.y1 if dy > 0 else cells.y0 - 1 if dy < 0 else y
    return floor.bit(x, y) & ~solid or OUTSIDE_ROOM


OUTSIDE_ROOM = 1 << 4096
"""A cell no room has: a spot that is used from there is never taken."""


def _liking(fitting: Fitting, spot: _Spot, floor: Floor) -> int:
    """Middles of rooms for what stands in the middle; shut walls and corners for the rest."""
    rect, c = floor.rect, spot.cells
    if fitting.against == "centre":
        return -abs(c.x0 + c.x1 - rect.x0 - rect.x1) - abs(c.y0 + c.y1 - rect.y0 - rect.y1)
    return 4 * (floor.corners & spot.solid).bit_count() + 2 * (floor.hug & spot.solid).bit_count()


def fittings_parts(placed: Sequence[Placed], tradition: Tradition) -> tuple[Part, ...]:
    return tuple(part for p in placed for part in _pieces(p, tradition))


def _pieces(p: Placed, tradition: Tradition) -> Iterator[Part]:
    fitting = tradition.fitting(p.name)
    turn = Turn(*fitting.size, FACING.index(p.facing))
    for px, py, pz, role, form in fitting.pieces:
        x, y, _ = turn.cell(px, py, 0)
        box = Box.cell(p.cells.x0 + x, p.cells.y0 + y, p.floor + pz)
        yield Part("fittings", role, turned(form, turn), box)
