"""The rooms and the ways between them."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from genhouse.core.box import Rect
from genhouse.model.design import Design
from genhouse.model.room import COURTS, OUTER, OUTSIDE, Room
from genhouse.outputs.document._tables import GraphRecord, WayRecord

if TYPE_CHECKING:
    import networkx as nx


def ways(design: Design) -> tuple[WayRecord, ...]:
    """Every way a person can walk from one room to another, sorted."""
    found = [*_openings(design), *_gates(design), *_steps(design), *_stairs(design)]
    return tuple(
        sorted(found, key=lambda w: (w.low, w.high, w.kind, w.cells or (), w.segment or 0))
    )


def _way(
    a: int, b: int, kind: str, cells: Rect | None = None, segment: int | None = None
) -> WayRecord:
    low, high = min(a, b), max(a, b)
    return WayRecord(low=low, high=high, kind=kind, segment=segment, cells=cells)  # type: ignore[arg-type]


def _openings(design: Design) -> Iterator[WayRecord]:
    for n, s in enumerate(design.segments):
        if s.passable and s.boundary != "open":
            yield _way(s.low, s.high, s.opening, s.way, n)


def _gates(design: Design) -> Iterator[WayRecord]:
    """A gate in a garden wall leads into the court straight behind it; those of yards lead into none."""
    ways = {wall.way for wall in design.segments}
    for part in design.parts:
        if part.form.startswith("door leaf") and part.box.rect not in ways:
            x0, y0, x1, y1 = part.box.rect.lie(part.form[-1])
            through = Rect(x0, y0 - 2, x1, y1 + 2).lie(part.form[-1])
            for court in _courts(design):
                if any(through.meets(rect) for rect in court.rects):
                    yield _way(OUTSIDE, court.id, "gate", part.box.rect)


def _courts(design: Design) -> list[Room]:
    return [r for r in design.rooms if r.kind in COURTS]


def _steps(design: Design) -> Iterator[WayRecord]:
    """From a court up onto the verandas round it, from a yard onto an outer one."""
    for court in _courts(design):
        reach = [r.grown(1) for r in court.rects]
        for room in design.rooms:
            if room.kind == "veranda" and any(a.meet(b).area for a in reach for b in room.rects):
                yield _way(court.id, room.id, "step")
    yield from (_way(OUTSIDE, room.id, "step") for room in design.rooms if room.kind == OUTER)


def _stairs(design: Design) -> Iterator[WayRecord]:
    """From a stair's room to the one above its last step."""
    for stair in design.stairs:
        x, y, *_ = stair.run[-1]
        up = design.room(stair.room).level + 1
        above = next(r for r in design.rooms if r.level == up and r.has(x, y))
        yield _way(stair.room, above.id, "stair")


def graph_record(design: Design) -> GraphRecord:
    nodes = (OUTSIDE, *sorted(r.id for r in design.rooms))
    return GraphRecord(nodes=nodes, edges=ways(design))


def room_graph(design: Design) -> nx.Graph:
    """Rooms as sorted whole-number nodes (0: outside) with ``kind``, ``level``, ``area``, ``indoor``,
    ``walkable`` and ``depth``.

    An edge joins rooms between which one can walk; its ``ways`` are the kinds of way, sorted, ``kind``
    the first of them, its ``segments`` the numbers of their wall segments.
    """
    import networkx as nx

    graph, lowest = nx.Graph(), min(room.level for room in design.rooms)
    graph.add_node(OUTSIDE, kind="outside", level=lowest, area=0, indoor=False, walkable=True)
    for r in sorted(design.rooms, key=lambda r: r.id):
        said = {"kind": r.kind, "level": r.level, "area": r.area}
        graph.add_node(r.id, **said, indoor=r.indoor, walkable=r.walkable)
    between: dict[tuple[int, int], list[WayRecord]] = {}
    for way in ways(design):
        between.setdefault((way.low, way.high), []).append(way)
    for (a, b), found in sorted(between.items()):
        segments = tuple(sorted(w.segment for w in found if w.segment is not None))
        kinds = tuple(sorted(w.kind for w in found))
        graph.add_edge(a, b, kind=kinds[0], ways=kinds, segments=segments)
    deep = nx.single_source_shortest_path_length(graph, OUTSIDE)
    nx.set_node_attributes(graph, dict(deep), "depth")
    return graph
