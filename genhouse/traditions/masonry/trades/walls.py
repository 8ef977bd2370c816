"""Walls that bear: whole from face to face, in courses from foot to head; piers where they meet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from genhouse.core.box import Box, Rect
from genhouse.model.elements import Beam, Course, Element, Member, Panel, Support, Wall, of
from genhouse.model.part import Part
from genhouse.traditions import building
from genhouse.traditions.building import piece
from genhouse.traditions.masonry.trades.faces import face
from genhouse.traditions.timber.trades.frame import beams, panel
from genhouse.traditions.timber.trades.walls import bound_ground
from genhouse.traditions.tradition import Tradition

__all__ = ["bound_ground", "raise_walls", "set_members"]
RANKS = {"outer": "", "party": "", "court": "court ", "partition": "inner ", "open": "inner "}
"""How the courses are called that a wall has in common with others, by what it stands between."""
PIERS = ("post", "pier")
Cell = tuple[int, int]


def set_members(elements: Sequence[Element], tradition: Tradition) -> Iterator[Part]:
    """Members as the table has them; a pier is of the wall that is seen: to outdoors, else to the court."""
    ranks = _ranks(elements)
    decks = [e for e in of(Course, elements) if e.use == "deck"]
    apart = ("deck", *PIERS)
    plain = [e for e in elements if not (isinstance(e, Member) and e.use in apart)]
    yield from building.set_members(plain, tradition)
    yield from _decks(decks, elements, tradition)
    for post in of(Support, elements):
        if post.use in PIERS:
            rank = ranks.get(post.box.rect[:2], "")
            yield from _pier(post.box, rank, tradition)


def _pier(box: Box, rank: str, tradition: Tradition) -> Iterator[Part]:
    """A pier; on the ground its foot is as that of the walls beside it, where these are outer ones."""
    if rank or box.z0 >= tradition.storeys[0].floor:
        yield piece(tradition, f"{rank}post", box)
        return
    foot = box.z0 + 2
    yield piece(tradition, "pier foot", box.rect.up(box.z0, foot))
    yield piece(tradition, "post", box.rect.up(foot, box.z1))


def _decks(
    decks: Sequence[Course], elements: Sequence[Element], tradition: Tradition
) -> Iterator[Part]:
    """A flat roof, with a rim of the wall's own stuff where it is seen from outdoors or from a court."""
    walls = [wall for wall in of(Wall, elements) if wall.boundary in ("outer", "party")]
    outer = {c for wall in walls for c in (*wall.cells.cells(), *wall.ends)}
    court = {
        c for beam in of(Beam, elements) if beam.use == "eaves beam" for c in beam.box.rect.cells()
    }
    court |= {
        c for s in of(Support, elements) if s.use.startswith("column") for c in s.box.rect.cells()
    }
    for deck in decks:
        for x, y in deck.box.rect.cells():
            use = "court rim" if (x, y) in court else "rim" if (x, y) in outer else "deck"
            yield piece(
                tradition, use, Rect(x, y, x + 1, y + 1).up(deck.box.z0, deck.box.z1), deck.side
            )


def _ranks(elements: Sequence[Element]) -> dict[Cell, str]:
    """What the piers at the ends of walls are called: by the most public wall there."""
    order = list(dict.fromkeys(RANKS.values()))
    found: dict[Cell, str] = {}
    for wall in of(Wall, elements):
        rank = RANKS.get(wall.boundary, "")
        for end in wall.ends:
            found[end] = min(rank, found.get(end, rank), key=order.index)
    return found


def raise_walls(elements: Sequence[Element], tradition: Tradition) -> Iterator[Part]:
    """Foot, lintel course and head of each wall, and what fills it between them."""
    bricks = [p.box for p in of(Panel, elements) if p.use == "hearth"]
    for wall in of(Wall, elements):
        if wall.boundary != "garden":
            yield from _courses(wall, tradition)
            if wall.boundary != "open":
                low, high = panel(wall, tradition)
                back = (b.rect for b in bricks if b.z0 == low and wall.cells.meets(b.rect))
                yield from _filled(wall, (low, high), next(back, None), tradition)


def _courses(wall: Wall, tradition: Tradition) -> Iterator[Part]:
    for z, use in beams(wall, tradition):
        rank = RANKS[wall.boundary]
        name = {"plinth": f"{rank}sill" if rank else "plinth"}.get(use, use)
        named = f"{rank}{name}" if rank and name in ("sill", "tie", "plate") else name
        known = named if named in dict(tradition.uses) else name
        for cells in wall.cells.less(wall.way if wall.floor <= z < wall.lintel else None):
            yield piece(tradition, known, cells.up(z, z + 1))


def _filled(
    wall: Wall, layers: tuple[int, int], brick: Rect | None, tradition: Tradition
) -> Iterator[Part]:
    if wall.face:
        yield from face(wall, layers, brick, tradition)
        return
    low, high = layers
    use = "party wall" if wall.boundary == "party" else "infill"
    for cells in wall.cells.less(wall.way):
        for rest in cells.less(brick):
            yield piece(tradition, use, rest.up(low, high), wall.axis)
    if brick is not None:
        yield piece(tradition, "hearth back", brick.up(low, high))
    if high < wall.z1 - 1:
        band = "band" if use == "infill" else use
        yield piece(tradition, band, wall.cells.up(high + 1, wall.z1 - 1), wall.axis)
