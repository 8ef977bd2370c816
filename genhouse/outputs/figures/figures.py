"""The figures of a house: what show, ideas and the document say about it, from the same few values."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np
from msgspec.structs import asdict, replace

from genhouse.model.design import Design
from genhouse.model.room import OUTER, OUTSIDE, Room
from genhouse.model.voxels import Voxels
from genhouse.outputs.document._room_graph import ways
from genhouse.outputs.figures import _fitted, _fronts, _lived, _sky, _syntax
from genhouse.outputs.figures._counts import named, stages
from genhouse.outputs.figures._loads import load_figures
from genhouse.outputs.figures._ranks import agreement
from genhouse.outputs.figures._roof_lines import Tops, roof_lines, roof_tops, tops
from genhouse.outputs.figures._tables import (
    CourtFigures,
    Figures,
    RoomFigures,
    ShellFigures,
    YardFigures,
)
from genhouse.outputs.figures._walk import walks
from genhouse.outputs.figures._water import drained
from genhouse.outputs.setting_out import heights

if TYPE_CHECKING:
    from genhouse.traditions.tradition import Tradition

WALLS = ("frame", "walls", "floors")
"""Stages whose cells hide the sky from a court, beside the roof; what grows there is left out."""
DECIMALS = 4


def figures(design: Design, voxels: Voxels) -> Figures:
    """Measure a house: counts from the cells, lengths and areas from the rooms."""
    tiles = roof_tops(design, voxels)
    shell = _shell(design, voxels, tiles)
    steps = walks(voxels)
    rooms = tuple(replace(room, walk=steps.get(room.id)) for room in shell.rooms)
    return Figures(
        **asdict(shell) | {"rooms": rooms},
        solid=int(np.count_nonzero(voxels.form)),
        walk=_mean([r.walk for r in _indoor(design, rooms) if r.walk is not None]),
        water=drained(tiles, design.courts),
        loads=load_figures(design),
        yards=_yards(design),
        seats=_lived.seats(design, _tradition(design)),
        sleepers=_lived.sleepers(design, _tradition(design)),
        fitted=_fitted.fitted(design, voxels, _tradition(design)),
        stages=stages(voxels),
        materials=named(voxels.material, [m.name for m in voxels.about.materials]),
    )


def shell_figures(design: Design, voxels: Voxels) -> ShellFigures:
    """Measure a house of which no more than the shell need be designed."""
    return _shell(design, voxels, roof_tops(design, voxels))


def _shell(design: Design, voxels: Voxels, tiles: Tops) -> ShellFigures:
    floor = sum(r.area for r in design.rooms if r.indoor)
    openings = _openings(design)
    graph = room_links(design)
    rooms = _rooms(design, graph, _lived.glazing(design, voxels))
    indoor = _indoor(design, rooms)
    asymmetries = [_syntax.relative_asymmetry(graph, n) for n in range(len(graph))]
    return ShellFigures(
        floor=floor,
        openings=openings,
        openings_to_floor=_ratio(openings, floor),
        areas=_areas(design),
        privacy=round(privacy(design, rooms), DECIMALS),
        depth=_mean([r.depth for r in indoor]),
        integration=_mean([r.integration for r in indoor if r.integration is not None]),
        difference=round(_syntax.difference_factor(asymmetries), DECIMALS),
        rooms=rooms,
        courts=_courts(design, voxels, tiles),
        roof=roof_lines(tiles),
        fronts=_fronts.fronts(design, voxels),
        lived=_lived.lived(design, graph, rooms, _tradition(design)),
        notes=_lived.notes(design, graph, rooms, _tradition(design)),
    )


def _yards(design: Design) -> YardFigures:
    uses: dict[str, int] = {}
    for yard in design.yards:
        uses[yard.use] = uses.get(yard.use, 0) + yard.area
    gates = sum(yard.gate is not None for yard in design.yards)
    walks = sum(room.rects[0].area for room in design.rooms if room.kind == OUTER)
    return YardFigures(cells=sum(uses.values()), uses=uses, gates=gates, verandas=walks)


def _tradition(design: Design) -> Tradition:
    from genhouse.traditions.loader import load_tradition

    return load_tradition(design.recipe.brief.tradition)


def _indoor(design: Design, rooms: Sequence[RoomFigures]) -> list[RoomFigures]:
    indoor = {room.id for room in design.rooms if room.indoor}
    return [room for room in rooms if room.id in indoor]


def room_links(design: Design) -> _syntax.Graph:
    """The room graph: place 0 is outside, place n the n-th room in the order of the ids."""
    place = {room.id: n for n, room in enumerate(_by_id(design), 1)} | {OUTSIDE: 0}
    edges = [(place[w.low], place[w.high]) for w in ways(design)]
    return _syntax.linked(len(place), edges)


def privacy(design: Design, rooms: Sequence[RoomFigures]) -> float:
    """Spearman's rank correlation of depth and the depth that the tradition wants of each kind.

    Over the rooms of the lowest storey, which are those whose place follows from it.
    """
    kinds, lowest = dict(_tradition(design).kinds), min(room.level for room in rooms)
    lower = [r for r in rooms if r.kind in kinds and r.level == lowest]
    return agreement([r.depth for r in lower], [kinds[r.kind].depth for r in lower])


def _by_id(design: Design) -> list[Room]:
    return sorted(design.rooms, key=lambda room: room.id)


def _rooms(
    design: Design, graph: _syntax.Graph, glazing: dict[int, float]
) -> tuple[RoomFigures, ...]:
    deep, shared = _syntax.depths(graph, 0), _syntax.control(graph)
    found = []
    for n, room in enumerate(_by_id(design), 1):
        asymmetry = _syntax.relative_asymmetry(graph, n)
        found.append(
            RoomFigures(
                id=room.id,
                kind=room.kind,
                level=room.level,
                area=room.area,
                depth=deep[n],
                asymmetry=round(float(asymmetry), DECIMALS),
                real_asymmetry=round(_syntax.real_relative_asymmetry(graph, n), DECIMALS),
                integration=round(_syntax.integration(graph, n), DECIMALS) if asymmetry else None,
                control=round(float(shared[n]), DECIMALS),
                glazing=glazing.get(room.id, 0.0),
                walk=None,
            )
        )
    return tuple(found)


def _openings(design: Design) -> int:
    return sum(
        s.way.area
        for s in design.segments
        if s.way and s.exposed and s.opening in ("window", "screens")
    )


def _areas(design: Design) -> dict[str, int]:
    areas: dict[str, int] = {}
    for room in design.rooms:
        areas[room.kind] = areas.get(room.kind, 0) + room.area
    return areas


def _ratio(a: int, b: int) -> float:
    """To three decimals, rounded half up in whole numbers."""
    return (2000 * a + b) // (2 * b) / 1000


def _mean(values: Sequence[float]) -> float:
    return round(sum(values) / len(values), DECIMALS) if values else 0.0


def _courts(design: Design, voxels: Voxels, tiles: Tops) -> tuple[CourtFigures, ...]:
    z = heights(design)
    frame = tops(voxels, voxels.set_by("frame")) // 4 - z.ground
    table = [name in WALLS for name in voxels.about.stages]
    built = np.maximum(tops(voxels, np.array(table)[voxels.stage]), tiles)
    over = np.maximum(built - 4 * z.ground, 0) / 4
    return tuple(
        CourtFigures(
            width=c.width,
            depth=c.depth,
            height=high,
            width_to_height=_ratio(min(c.width, c.depth), max(1, high)),
            sky=round(_sky.over(over, (c.x0 + c.x1) / 2, (c.y0 + c.y1) / 2), DECIMALS),
        )
        for c in design.courts
        for x0, y0, x1, y1 in (c.grown(1),)
        for high in (int(frame[x0:x1, y0:y1].max()),)
    )
