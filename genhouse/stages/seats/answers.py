"""Whether a set of rooms answers a client's programme: the definition of what is asked for."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec import Struct

from genhouse.model.brief import Wish, line_name
from genhouse.model.elements import Wall
from genhouse.model.room import COURTS, GALLERY, Room
from genhouse.stages.seats.programme import touch

Lines = Sequence[tuple[int, Wish]]
"""Lines of a programme that ask for one kind, each with its place in the brief."""
OUTDOORS = (*COURTS, "veranda", GALLERY)
"""Kinds of which a room that borders on one opens to a court."""


class Seen(Struct, frozen=True):
    """A room as a programme speaks of it.  beside: kinds with which it shares a wall.

    court: whether it opens to a court.
    """

    room: Room
    beside: frozenset[str]
    court: bool


def seen(rooms: Sequence[Room], segments: Sequence[Wall]) -> tuple[Seen, ...]:
    """Every indoor room, with its neighbours on its storey, and what it opens to."""
    outdoors = {room.id for room in rooms if room.kind in OUTDOORS}
    opened = {
        n
        for s in segments
        if s.opening != "none"
        for n, other in ((s.low, s.high), (s.high, s.low))
        if other in outdoors
    }
    indoor = [room for room in rooms if room.indoor]
    return tuple(
        Seen(
            room,
            frozenset(
                other.kind
                for other in indoor
                if other.level == room.level and other.id != room.id and _touch(room, other)
            ),
            room.id in opened,
        )
        for room in indoor
    )


def _touch(a: Room, b: Room) -> bool:
    return any(touch(r, s) for r in a.rects for s in b.rects)


def unmet(rooms: Sequence[Seen], wishes: Sequence[Wish]) -> tuple[str, ...]:
    """The wishes that these rooms leave unmet, a sentence each."""
    found: list[str] = []
    for kind in dict.fromkeys(wish.kind for wish in wishes):
        lines = [(n, wish) for n, wish in enumerate(wishes) if wish.kind == kind]
        found += _unmet_of(kind, lines, [r for r in rooms if r.room.kind == kind])
    return tuple(found)


def _unmet_of(kind: str, lines: Lines, rooms: Sequence[Seen]) -> Iterator[str]:
    """What is unmet of the lines for one kind: each of its rooms has to answer one of them."""
    name = f"{' and '.join(line_name(n) for n, _ in lines)} ({kind})"
    count = sum(wish.count for _, wish in lines)
    if len(rooms) != count:
        yield f"{name}: count {count}, found {len(rooms)}"
    elif len(lines) == 1:
        for room in rooms:
            yield from (f"{name}: {words}" for words in broken(room, lines[0][1]))
    elif not shared_out(lines, rooms):
        yield f"{name}: no way to share {count} rooms out to these lines"


def shared_out(lines: Lines, rooms: Sequence[Seen]) -> dict[int, tuple[int, ...]]:
    """For each line, by its place, the ids of the rooms that answer it; nothing where some do not.

    A largest matching of rooms to lines, in whole numbers.
    """
    from networkx import Graph
    from networkx.algorithms.bipartite import hopcroft_karp_matching

    places = [n for n, wish in lines for _ in range(wish.count)]
    wish_of = dict(lines)
    graph = Graph()
    graph.add_nodes_from(range(len(rooms) + len(places)))
    graph.add_edges_from(
        (i, len(rooms) + p)
        for i, room in enumerate(rooms)
        for p, n in enumerate(places)
        if not any(broken(room, wish_of[n]))
    )
    matched = hopcroft_karp_matching(graph, range(len(rooms)))
    if len(matched) < len(rooms) + len(places):
        return {}
    return {
        n: tuple(
            room.room.id for i, room in enumerate(rooms) if places[matched[i] - len(rooms)] == n
        )
        for n, _ in lines
    }


def broken(room: Seen, wish: Wish) -> Iterator[str]:
    """What a room does not keep of a wish for one of its kind."""
    area, level = room.room.area, room.room.level
    if wish.area and not wish.area[0] <= area <= wish.area[1]:
        yield f"area {wish.area[0]} to {wish.area[1]}, found {area}"
    if wish.storey and level != wish.storey:
        yield f"storey {wish.storey}, found {level}"
    if wish.court is not None and room.court != wish.court:
        yield f"court = {str(wish.court).lower()}"
    for group in wish.neighbours:
        if room.beside.isdisjoint(group):
            yield f"beside {' or '.join(group)}"
    for kind in sorted(room.beside.intersection(wish.away)):
        yield f"away from {kind}"
