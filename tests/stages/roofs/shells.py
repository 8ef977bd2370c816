"""Plain bodies of walls below a roof."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from genhouse.core.axes import Side
from genhouse.core.box import Box, Rect, runs
from genhouse.core.draw import Draw
from genhouse.model.brief import Brief, Recipe, RoofWish
from genhouse.model.design import Design
from genhouse.model.elements import Wall
from genhouse.model.laid import Laid
from genhouse.model.part import Part
from genhouse.model.room import TERRACE, Room
from genhouse.model.storeys import ATTIC
from genhouse.stages.bays import Bays, plan_bays
from genhouse.stages.roof import Roof, plan_roof
from genhouse.stages.roofing import roof_members
from genhouse.stages.rooms import Rooms
from genhouse.stages.site import Site
from genhouse.stages.ways.hearths import Hearth
from genhouse.stages.ways.rising import raised
from genhouse.traditions.building import built, trades_of
from genhouse.traditions.tradition import Tradition
from tests.houses import TIMBER


@dataclass(frozen=True, kw_only=True)
class Shell:
    """A roof over bare walls."""

    site: Site
    rooms: Rooms
    roof: Roof
    design: Design


def shell(site: Site, wish: RoofWish | None = None, seed: int = 0) -> Shell:
    """Bare walls, floors and the roof over them."""
    tradition = TIMBER.with_storeys(max(wing.storeys for wing in site.wings))
    bays = plan_bays(site, tradition, Draw(seed).at("bays"))
    rooms = _rooms(site, bays, tradition)
    roof = plan_roof(site, bays, rooms, tradition, wish or RoofWish(), Draw(seed).at("roof"))
    top = built(tuple(roof_members(site, roof, rooms, tradition)), tradition, trades_of(tradition))
    body = tuple(_body(site, bays, rooms, tradition))
    return Shell(
        site=site,
        rooms=rooms,
        roof=roof,
        design=Design(
            recipe=Recipe(seed=seed, brief=Brief()),
            palette=tradition.palettes[0],
            gate_side="south",
            gate=(0, 0, 0),
            wings=tuple(wing.rect for wing in site.wings),
            courts=site.courts,
            rooms=rooms.rooms,
            segments=rooms.segments,
            stairs=(),
            placed=(),
            laid=Laid.of((*body, *top), (*site.plot, roof.height)),
            turn=site.turn,
            eaves=roof.eaves,
            covers=roof.covers,
        ),
    )


def _rooms(site: Site, bays: Bays, tradition: Tradition) -> Rooms:
    """One room a wing and storey, and every wall between and round them."""
    rooms: list[Room] = []
    number: dict[tuple[int, int], int] = {}
    for n, wing in enumerate(site.wings):
        frame = site.frame(wing)
        rect = Rect(frame.x0 + 1, frame.y0 + 1, frame.x1 - 1, frame.y1 - 1).lie(wing.axis)
        for level, storey in enumerate(tradition.storeys[: wing.storeys], 1):
            number[n, level] = len(rooms) + 1
            rooms.append(
                Room(
                    id=len(rooms) + 1,
                    kind="store",
                    level=level,
                    rects=(rect,),
                    floor=storey.floor,
                    ceiling=storey.ceiling,
                    to_roof=storey.under_roof,
                )
            )
    for n, wing in enumerate(site.wings):
        if wing.terrace:
            inner, under = rooms[number[n, 1] - 1].rects, tradition.storeys[wing.storeys - 1]
            rooms.append(
                Room(
                    id=len(rooms) + 1,
                    kind=TERRACE,
                    level=wing.storeys + 1,
                    rects=inner,
                    floor=under.head + 1,
                    ceiling=under.head + ATTIC,
                    to_roof=True,
                    indoor=False,
                )
            )
    at = {c: n for n, r in enumerate(rooms) if r.level == 1 for c in r.rects[0].cells()}
    wing_at = {
        c: n for n, _ in enumerate(site.wings) for c in rooms[number[n, 1] - 1].rects[0].cells()
    }
    assert at.keys() == wing_at.keys()
    plain = list(_walls(site, bays, number, wing_at, tradition))
    levels = range(1, len(tradition.storeys) + 1)
    walls = [[wall for wall in plain if wall.level == level] for level in levels]
    first = next(wing for wing in site.wings if not wing.terrace)
    frame, middle = site.frame(first), (first.lie.y0 + first.lie.y1 - 1) // 2
    x, y, *_ = Rect(frame.x0 + 1, middle + 1, 0, 0).lie(first.axis)
    facing: Side = "east" if first.axis == "x" else "north"
    return Rooms(
        rooms=tuple(rooms),
        segments=tuple(wall for some in raised(site, walls, tradition.storeys) for wall in some),
        stairs=(),
        hearth=Hearth(cell=(x, y), facing=facing, room=1),
        entrances=(),
        gate=(0, 0),
    )


def _walls(
    site: Site,
    bays: Bays,
    number: dict[tuple[int, int], int],
    wing_at: dict[tuple[int, int], int],
    tradition: Tradition,
) -> Iterator[Wall]:
    for line in bays.lines:
        c = line.cells
        x, y = (c.x0 + c.x1 - 1) // 2, (c.y0 + c.y1 - 1) // 2
        dx, dy = (0, 1) if line.axis == "x" else (1, 0)
        sides = [wing_at.get(at) for at in ((x - dx, y - dy), (x + dx, y + dy))]
        high = [0 if n is None else site.wings[n].storeys for n in sides]
        for level in range(1, max(high) + 1):
            storey = tradition.storeys[level - 1]
            rooms = [number.get((n, level), 0) if n is not None else 0 for n in sides]
            inner = all(rooms)
            boundary = "open" if rooms[0] == rooms[1] else "partition" if inner else "outer"
            yield Wall(
                level=level,
                axis=line.axis,
                cells=c,
                z0=storey.slab if level == 1 else storey.floor,
                z1=storey.head + 1,
                floor=storey.floor,
                lintel=storey.lintel,
                boundary=boundary,  # type: ignore[arg-type]
                low=rooms[0],
                high=rooms[1],
            )


def _body(site: Site, bays: Bays, rooms: Rooms, tradition: Tradition) -> Iterator[Part]:
    """Ground, walls, posts, plates and floors, no cell twice."""
    ground = tradition.storeys[0].slab
    taken: set[tuple[int, int, int]] = set(rooms_flue(rooms, tradition))
    yield Part("site", "ground", "whole", Rect(0, 0, *site.plot).up(0, ground))

    def lay(stage: str, role: str, box: Box) -> Iterator[Part]:
        free = [c for c in box.cells() if c not in taken]
        taken.update(free)
        if len(free) == box.volume:
            yield Part(stage, role, "whole", box)
        else:
            yield from (Part(stage, role, "whole", b) for b in runs(free))

    for s in rooms.segments:
        for x, y in s.ends:
            if s.level == 1 or (x, y) not in bays.middle:
                yield from lay("frame", "post", Box(x, y, s.z0, x + 1, y + 1, s.z1))
    for s in rooms.segments:
        lofty = s.boundary == "open" and rooms.rooms[s.low - 1].to_roof
        if not lofty:
            yield from lay("frame", "plate" if s.rises else "tie", s.cells.up(s.z1 - 1, s.z1))
        if s.boundary != "open":
            yield from lay("walls", "infill", s.cells.up(s.z0, s.z1 - 1))
    for room in (room for room in rooms.rooms if room.indoor):
        for rect in room.rects:
            yield from lay("floors", "board", rect.up(room.floor - 1, room.floor))
            if not room.to_roof:
                yield from lay("floors", "board", rect.up(room.ceiling, room.ceiling + 1))


def rooms_flue(rooms: Rooms, tradition: Tradition) -> Iterator[tuple[int, int, int]]:
    """The cells that the flue takes on its way."""
    x, y = rooms.hearth.cell
    return ((x, y, z) for z in range(tradition.storeys[0].floor + 1, 60))
