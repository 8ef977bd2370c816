"""Court: the garden inside the verandas, its steps, its walk, its water and its planting."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from genhouse.core.axes import FLANKS, STEP, cell_at
from genhouse.core.box import Box, Rect, covered, runs
from genhouse.core.draw import Draw
from genhouse.model.brief import Brief
from genhouse.model.elements import Plant
from genhouse.stages.galleries import guarded
from genhouse.stages.gardens.dry import gravel, grove, moss, tree
from genhouse.stages.gardens.formal import basin, quartered, well
from genhouse.stages.gardens.lot import Cell, Lot, Pieces, Sketch, Spot, beside, noise_over
from genhouse.stages.gardens.paved import bare, paved
from genhouse.stages.gardens.pond import pond
from genhouse.stages.gardens.screens import screen_ground, screen_pieces
from genhouse.stages.rooms import Rooms
from genhouse.stages.site import Site
from genhouse.stages.terraces import fall_of, retained
from genhouse.traditions.plan import PlanRule
from genhouse.traditions.tradition import Tradition

KINDS: Mapping[str, tuple[Callable[[Lot], Sketch], int]] = {
    "pond": (pond, 5),
    "gravel": (gravel, 3),
    "moss": (moss, 3),
    "grove": (grove, 4),
    "well": (well, 5),
    "tree": (tree, 5),
    "quartered": (quartered, 7),
    "paved": (paved, 3),
    "basin": (basin, 2),
    "bare": (bare, 1),
}
"""For each kind of garden: who composes it, and the width from which it is drawn unasked."""


Planting = tuple[tuple[int, int, int, str, str], ...]
"""Pieces of a garden: x, y, layer above the ground, use, form."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Court:
    """A planned garden.

    walk: the cells of its walk, shoe stones included, sorted.  steps: the shoe stones below a
    veranda.  pieces: (x, y, layer above the ground, role, form), sorted; layer -1 is the ground.
    """

    kind: str
    ground: Rect
    walk: tuple[Cell, ...]
    steps: tuple[Cell, ...]
    pieces: Planting


def plan_court(
    site: Site,
    rooms: Rooms,
    brief: Brief,
    tradition: Tradition,
    draw: Draw,
    standing: Collection[Cell] = (),
) -> tuple[Court, ...]:
    """One garden a court, of different kinds where the brief does not say which; the first of them behind a
    wall that hides it from the gate, where the tradition has one.

    standing: columns round it, past which one steps down.
    """
    courts: list[Court] = []
    rule = tradition.plan
    row = screen_ground(site, rooms) if tradition.gate.screen else None
    rails = frozenset((x, y) for x, y, _ in guarded(site, rooms.rooms))
    for i, court in enumerate(site.courts):
        whole = _lot(site, rooms, court, rails, standing, draw.at(i))
        lot = whole if row is None or i else _behind(whole, row)
        seen = [c.kind for c in courts] + [rule.working] * (site.service is not None)
        if rule.first and not i:
            courts.append(compose(rule.first, replace(lot, steps=lot.steps[:1])))
            continue
        asked = rule.working if court == site.service else brief.garden
        found = compose(asked or _kind(lot, seen, rule), lot)
        courts.append(found if row is None or i else _screened(found, whole, row))
    return tuple(_flush(site, court) for court in courts)


def _behind(lot: Lot, row: Rect) -> Lot:
    """What is left of a lot behind a wall along its southern edge."""
    ground = Rect(lot.ground.x0, row.y1, lot.ground.x1, lot.ground.y1)
    steps = tuple(c for c in lot.steps if ground.has(*c))
    noise = {c: n for c, n in lot.noise.items() if ground.has(*c)}
    return replace(lot, ground=ground, steps=steps, noise=noise)


def _screened(court: Court, lot: Lot, row: Rect) -> Court:
    """A garden with all of its lot: paved before the wall that hides it."""
    strip = Rect(lot.ground.x0, lot.ground.y0, lot.ground.x1, row.y1)
    pieces: Pieces = {(*c, -1): ("path", "whole") for c in strip.cells()}
    pieces |= screen_pieces(row)
    pieces |= {(*c, 0): ("shoe-stone", "half course") for c in lot.steps if strip.has(*c)}
    more = ((*spot, *look) for spot, look in pieces.items())
    free = (c for c in strip.cells() if not row.has(*c))
    return replace(
        court,
        ground=lot.ground,
        walk=tuple(sorted({*court.walk, *free})),
        steps=lot.steps,
        pieces=tuple(sorted((*court.pieces, *more))),
    )


def gardens(rule: PlanRule, least: int) -> dict[str, int]:
    """Weights of the kinds that have room on so many cells, the shorter way; else of the smallest."""
    drawn = {name: weight for name, weight in rule.gardens if weight}
    smallest = min(KINDS[name][1] for name in drawn)
    fit = {name: weight for name, weight in drawn.items() if least >= KINDS[name][1]}
    return fit or {name: 1 for name in reversed(drawn) if KINDS[name][1] == smallest}


def _kind(lot: Lot, seen: Iterable[str], rule: PlanRule) -> str:
    """A kind that has room here, and that no other court has."""
    fit = gardens(rule, lot.least)
    fresh = {name: weight for name, weight in fit.items() if name not in seen} or fit
    return lot.draw.choice(list(fresh), "kind", list(fresh.values()))


def compose(kind: str, lot: Lot) -> Court:
    """A garden of this kind on this lot, however small."""
    sketch = KINDS[kind][0](lot)
    shoes: Pieces = {(x, y, 0): ("shoe-stone", "half course") for x, y in lot.steps}
    pieces = sorted((*spot, *look) for spot, look in (sketch.pieces | shoes).items())
    return Court(
        kind=kind,
        ground=lot.ground,
        walk=tuple(sorted(sketch.walk)),
        steps=lot.steps,
        pieces=tuple(pieces),
    )


def _lot(
    site: Site,
    rooms: Rooms,
    court: Rect,
    rails: frozenset[Cell],
    standing: Collection[Cell],
    draw: Draw,
) -> Lot:
    winged = site.winged(court)
    ground = site.garden(court)
    gate = next((e for e in rooms.entrances if e.kind == "front" and e.room == 0), None)
    inside: list[Cell] = []
    low = Rect(0, 0, 0, 0)
    if gate is not None and court == site.courts[0]:
        inside = [(x, gate.way.y1) for x in range(gate.way.x0, gate.way.x1)]
        low = gate.way.grown(2)
    return Lot(
        ground=ground,
        steps=tuple(sorted(set(_steps(site, rooms, court, standing, draw)))),
        gate=tuple(c for c in inside if ground.has(*c)),
        low=low,
        walls=tuple(s for s in ("south", "north", "west", "east") if s not in winged),
        noise=noise_over(ground, draw.below(256, "noise")),
        draw=draw,
        rails=rails,
    )


def _steps(
    site: Site, rooms: Rooms, court: Rect, standing: Collection[Cell], draw: Draw
) -> Iterator[Cell]:
    """A shoe stone below each side's veranda, opposite some screens; between columns in the middle."""
    ground, wall = site.garden(court), court.grown(1)
    opened = [s for s in rooms.segments if s.level == 1 and s.opening in ("screens", "passage")]
    for axis in FLANKS:
        lying, row = ground.lie(axis), wall.lie(axis)
        edges = (lying.y0, row.y0), (lying.y1 - 1, row.y1 - 1)
        for side, (at, line) in zip(FLANKS[axis], edges, strict=True):
            ways = [
                s.way.lie(axis)
                for s in opened
                if s.way is not None and (s.boundary, s.axis, s.lie.y0) == ("court", axis, line)
            ]
            found = [cell_at(axis, a, at) for way in ways for a in range(way.x0, way.x1)]
            if standing and ways:
                found = [cell_at(axis, a, at) for a in _middle_out(lying.x0, lying.x1)]
                found = [c for c in found if not {*beside(c)} & {*standing}][:1]
            (dx, dy), own = STEP[side], fall_of(site, (ground,))[0]
            found = [c for c in found if ground.has(*c)]
            if found := [c for c in found if own <= site.fall(c[0] + dx, c[1] + dy)]:
                yield draw.choice(sorted(found), f"step {side}")


def _flush(site: Site, court: Court) -> Court:
    """The same without shoe stones before verandas that lie as high as it."""
    if not site.falls:
        return court
    own = fall_of(site, (court.ground,))[0]
    walked = covered(v for one in site.courts for v in site.verandas(one))
    beside_lower = {
        (x, y)
        for x, y in court.steps
        if all(site.fall(*c) > own for c in beside((x, y)) if c in walked)
    }
    left = (p for p in court.pieces if p[:2] not in beside_lower or p[3] != "shoe-stone")
    return replace(court, pieces=tuple(left))


def _middle_out(low: int, high: int) -> list[int]:
    return sorted(range(low, high), key=lambda n: (abs(2 * n - low - high + 1), n))


def planted(site: Site, gardens: Iterable[Planting], tradition: Tradition) -> Iterator[Plant]:
    """Equal pieces of a garden side by side are one, and so are posts above each other; none lies where
    the ground itself is held up."""
    ground = tradition.storeys[0].slab
    held = retained(site, ground - 1)
    for pieces in gardens:
        looks: dict[tuple[str, str], list[Spot]] = {}
        for x, y, z, use, form in pieces:
            spot = (x, y, ground + z - site.fall(x, y))
            if spot not in held:
                looks.setdefault((use, form), []).append(spot)
        for (use, form), spots in sorted(looks.items()):
            for box in _columns(spots) if form == "post" else runs(spots):
                yield Plant(use=use, box=box, side=form)


def _columns(spots: Iterable[Spot]) -> Iterator[Box]:
    for z0, x0, y0, z1, x1, y1 in runs([(z, x, y) for x, y, z in spots]):
        yield from (Box(x, y0, z0, x + 1, y1, z1) for x in range(x0, x1))
