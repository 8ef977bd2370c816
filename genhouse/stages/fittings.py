"""Fittings: what makes a room a bedroom or a kitchen, placed so that all of it can be reached and used."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from genhouse.core.axes import SIDES, STEP, Side, Turn
from genhouse.core.box import Box, Rect
from genhouse.core.draw import Draw
from genhouse.core.forms import turned
from genhouse.model.design import Placed
from genhouse.model.part import Part
from genhouse.model.room import Room
from genhouse.stages._floorplan import Floorplan, floorplan
from genhouse.stages.bays import Bays
from genhouse.stages.roof import Roof
from genhouse.stages.rooms import Rooms
from genhouse.traditions import Fitting, Tradition

Cell = tuple[int, int]
FULLEST = 55
"""Part of a room's floor, in hundredths, beyond which nothing more is put in."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Spot:
    """One way to stand a fitting.  solid: the cells its pieces stand on.  use: where a user stands."""

    cells: Rect
    turn: Turn
    facing: Side
    solid: frozenset[Cell]
    use: tuple[Cell, ...]


def plan_fittings(
    rooms: Rooms, bays: Bays, roof: Roof, tradition: Tradition, draw: Draw
) -> tuple[Placed, ...]:
    """Furnish every indoor room."""
    placed: list[Placed] = []
    for room in (*rooms.on(1), *rooms.on(2)):
        plan = floorplan(room, rooms, bays)
        placed += _furnish(room, plan, rooms, roof, tradition, draw.at(room.id))
    return tuple(placed)


def _furnish(
    room: Room, plan: Floorplan, rooms: Rooms, roof: Roof, tradition: Tradition, draw: Draw
) -> Iterator[Placed]:
    kind = tradition.kind(room.kind)
    taken: set[Cell] = set()
    keep = set(plan.keep)
    if rooms.hearth.room == room.id:
        yield _stove(room, rooms)
        dx, dy = STEP[rooms.hearth.facing]
        keep.add((rooms.hearth.cell[0] + dx, rooms.hearth.cell[1] + dy))
    for n, name in enumerate(kind.fittings):
        if 100 * len(taken) > FULLEST * len(plan.free):
            return
        while name:
            fitting = tradition.fitting(name)
            spot = _place(fitting, room, plan, taken, keep, roof, draw.at(n, name))
            if spot is not None:
                taken |= spot.solid
                keep |= set(spot.use)
                yield Placed(
                    name=name, room=room.id, cells=spot.cells, floor=room.floor, facing=spot.facing, use=spot.use
                )
                break
            name = fitting.smaller


def _stove(room: Room, rooms: Rooms) -> Placed:
    x, y = rooms.hearth.cell
    dx, dy = STEP[rooms.hearth.facing]
    return Placed(
        name="stove",
        room=room.id,
        cells=Rect(x, y, x + 1, y + 1),
        floor=room.floor,
        facing=rooms.hearth.facing,
        use=((x + dx, y + dy),),
    )


def _place(
    fitting: Fitting, room: Room, plan: Floorplan, taken: set[Cell], keep: set[Cell], roof: Roof, draw: Draw
) -> _Spot | None:
    """The best spot that leaves every kept cell reachable, or None."""
    if fitting.against == "flue":
        return None
    spots = [s for s in _spots(fitting, room) if s.solid <= plan.free - taken - keep]
    spots = [s for s in spots if _fits(fitting, s, room, roof) and set(s.use) <= plan.free - taken]
    spots.sort(key=lambda s: (-_liking(fitting, s, room, plan), draw.word(f"{s.cells}/{s.facing}")))
    for spot in spots:
        left = plan.free - taken - spot.solid
        if connected(left, keep | set(spot.use)):
            return spot
    return None


def _spots(fitting: Fitting, room: Room) -> Iterator[_Spot]:
    width, depth = fitting.size
    rect = room.rect
    for quarters, facing in enumerate(("south", "east", "north", "west")):
        w, d = (width, depth) if quarters % 2 == 0 else (depth, width)
        turn = Turn(width, depth, quarters)
        for y in range(rect.y0, rect.y1 - d + 1):
            for x in range(rect.x0, rect.x1 - w + 1):
                cells = Rect(x, y, x + w, y + d)
                solid = frozenset(_moved(turn, px, py, x, y) for px, py, pz, _, _ in fitting.pieces if pz == 0)
                yield _Spot(
                    cells=cells,
                    turn=turn,
                    facing=facing,  # type: ignore[arg-type]
                    solid=solid,
                    use=_use(fitting, cells, facing, solid),  # type: ignore[arg-type]
                )


def _moved(turn: Turn, px: int, py: int, x: int, y: int) -> Cell:
    tx, ty, _ = turn.cell(px, py, 0)
    return (x + tx, y + ty)


def _use(fitting: Fitting, cells: Rect, facing: Side, solid: frozenset[Cell]) -> tuple[Cell, ...]:
    """The cell before the middle of its front; for what is used from all round, one on each long side."""
    if fitting.around:
        return ()
    dx, dy = STEP[facing]
    mx, my = (cells.x0 + cells.x1 - 1) // 2, (cells.y0 + cells.y1 - 1) // 2
    front = (
        (cells.x1 if dx > 0 else cells.x0 - 1 if dx < 0 else mx),
        (cells.y1 if dy > 0 else cells.y0 - 1 if dy < 0 else my),
    )
    return () if front in solid else (front,)


def _fits(fitting: Fitting, spot: _Spot, room: Room, roof: Roof) -> bool:
    """Against what it must stand against, and under the roof."""
    rect = room.rect
    c = spot.cells
    back = {"south": c.y1 == rect.y1, "north": c.y0 == rect.y0, "east": c.x0 == rect.x0, "west": c.x1 == rect.x1}[
        spot.facing
    ]
    if spot.facing in ("south", "north"):
        side = c.x0 == rect.x0 or c.x1 == rect.x1
    else:
        side = c.y0 == rect.y0 or c.y1 == rect.y1
    stands = {"wall": back, "corner": back and side, "centre": True, "any": True, "flue": False}[fitting.against]
    if not stands or not room.to_roof:
        return stands
    high = max(pz for _, _, pz, _, _ in fitting.pieces) + 1
    under = roof.under[2 * c.x0 : 2 * c.x1, 2 * c.y0 : 2 * c.y1]
    return bool(under.min() >= 2 * (room.floor + high))


def _liking(fitting: Fitting, spot: _Spot, room: Room, plan: Floorplan) -> int:
    rect, c = room.rect, spot.cells
    off = abs(c.x0 + c.x1 - rect.x0 - rect.x1) + abs(c.y0 + c.y1 - rect.y0 - rect.y1)
    if fitting.against == "centre":
        return -off
    corners = sum((x, y) in spot.solid for x in (rect.x0, rect.x1 - 1) for y in (rect.y0, rect.y1 - 1))
    behind = sum(1 for cell in spot.solid for n in _beside(cell) if n in plan.solid_walls)
    return 4 * corners + 2 * behind


def _beside(cell: Cell) -> Iterator[Cell]:
    return ((cell[0] + dx, cell[1] + dy) for dx, dy in (STEP[s] for s in SIDES))


def connected(free: Iterable[Cell], wanted: Iterable[Cell]) -> bool:
    """Whether all the wanted cells lie in one four-connected piece of the free ones, and no free
    piece is cut off from them."""
    free, wanted = set(free), set(wanted)
    if not wanted <= free:
        return False
    if not free:
        return True
    start = min(wanted) if wanted else min(free)
    seen, edge = {start}, [start]
    while edge:
        for n in _beside(edge.pop()):
            if n in free and n not in seen:
                seen.add(n)
                edge.append(n)
    return len(seen) == len(free)


def fittings_parts(placed: Sequence[Placed], tradition: Tradition) -> tuple[Part, ...]:
    return tuple(part for p in placed for part in _pieces(p, tradition))


def _pieces(p: Placed, tradition: Tradition) -> Iterator[Part]:
    fitting = tradition.fitting(p.name)
    turn = Turn(*fitting.size, ("south", "east", "north", "west").index(p.facing))
    for px, py, pz, role, form in fitting.pieces:
        x, y = _moved(turn, px, py, p.cells.x0, p.cells.y0)
        yield Part("fittings", role, turned(form, turn), Box.cell(x, y, p.floor + pz))
