"""What the build guide says of each stage: the tradition's words, with the facts of the house in hand."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from genhouse.core.axes import SIDES
from genhouse.core.spoken import numeral, with_article
from genhouse.model.design import Design
from genhouse.model.room import GALLERY, TERRACE
from genhouse.outputs.setting_out import gaps, heights, house_rect, room_name, words_of
from genhouse.outputs.storeys import storeys
from genhouse.traditions.words import Count, Fact, clause, said


def member_names(design: Design) -> dict[str, str]:
    """What each kind of timber is called, by its role."""
    own = dict(words_of(design).members)
    return {role: own.get(role, role.replace("-", " ")) for role, _ in design.palette.roles}


def facts(design: Design) -> dict[str, Fact]:
    """All that words may be filled with."""
    counts = words_of(design).counts
    return {
        **_on_the_plot(design),
        **_layers(design),
        **_openings(design),
        **_stairs(design),
        **_yards(design),
        **{name: _counted(design, count) for name, count in counts},
        "leaning wings": _lower(design, flat=False),
        "flat wings": _lower(design, flat=True),
        "gallery": sum(room.kind == GALLERY for room in design.rooms),
        "terrace": sum(room.kind == TERRACE for room in design.rooms),
        "fittings": len(design.placed),
        "used": "all"
        if all(p.use for p in design.placed)
        else sum(bool(p.use) for p in design.placed),
    }


def _on_the_plot(design: Design) -> dict[str, Fact]:
    house, lowest = house_rect(design), storeys(design)[0]
    return {
        "width": design.plot[0],
        "depth": design.plot[1],
        "corners": tuple(f"({x}, {y})" for x, y in design.outline),
        "west": house.x0,
        "south": house.y0,
        "across": house.width,
        "deep": house.depth,
        "wings": len(wing_rows(design)),
        "neighbours": design.recipe.brief.sides.party,
        "terraces": levels
        if (levels := len({r.floor for r in lowest.rooms if r.indoor})) > 1
        else 0,
        "south gaps": gaps(design, "south", lowest).lengths,
        "west gaps": gaps(design, "west", lowest).lengths,
    }


def _layers(design: Design) -> dict[str, Fact]:
    z = heights(design)
    return {
        "beam layers": tuple(map(z.above, z.ties)),
        "band layer": z.above(z.ties[0] + 1),
        "ceiling layer": z.above(z.ties[-1]),
        "upper layers": tuple(z.above(storey.floor - 1) for storey in storeys(design)[1:]),
        "eaves layer": z.above(z.eaves),
        "ridge layer": z.above(z.ridge),
    }


def _openings(design: Design) -> dict[str, Fact]:
    opened = Counter(s.opening for s in design.segments)
    looks = Counter(
        s.look for s in design.segments if (s.opening, s.boundary) == ("window", "outer")
    )
    court = sum((s.opening, s.boundary) == ("screens", "court") for s in design.segments)
    outward = looks.total()
    return {
        "outward": outward,
        "inward": opened["window"] - outward,
        "window looks": _looks(looks),
        "court screens": court,
        "inner screens": opened["screens"] - court,
        "doors": opened["door"] + opened["entrance"],
    }


def _looks(looks: Counter[str]) -> tuple[str, ...]:
    """Windows by what they wear, the commonest first.

    >>> _looks(Counter({"high": 1})), _looks(Counter({"high": 3})), _looks(Counter({"high": 3, "slit": 1}))
    (('a high one',), ('all high',), ('three high', 'one slit'))
    """
    if len(looks) == 1:
        ((look, count),) = looks.items()
        return (f"{with_article(look)} one" if count == 1 else f"all {look}",)
    return tuple(f"{numeral(count)} {look}" for look, count in looks.most_common())


def _stairs(design: Design) -> dict[str, Fact]:
    words = words_of(design).flight
    told: Iterator[dict[str, Fact]] = (
        {
            "side": stair.rise,
            "steps": len(stair.run),
            "wide": max(stair.run[0].width, stair.run[0].depth),
            "room": stair.room,
        }
        for stair in design.stairs
    )
    return {
        "flights": " ".join(said([words], one) for one in told),
        "wells": tuple(f"{stair.well.width} by {stair.well.depth}" for stair in design.stairs),
    }


def _yards(design: Design) -> dict[str, Fact]:
    words = words_of(design).yard
    told: Iterator[dict[str, Fact]] = (
        {
            "use": with_article(yard.use),
            "cells": yard.area,
            "before": _called(design, yard.room) if yard.room else "",
        }
        for yard in design.yards
    )
    return {
        "yards": tuple(clause(words, one) for one in told),
        "yard gates": sum(yard.gate is not None for yard in design.yards),
    }


def _called(design: Design, number: int) -> str:
    """What a sentence calls a room: without its gloss."""
    name = room_name(design, design.room(number)).partition(" (")[0].lower()
    return f"room {number} ({name})"


def _counted(design: Design, count: Count) -> int:
    return sum(
        1 if count.whole else p.box.volume
        for p in design.parts
        if p.stage == count.stage
        and (not count.roles or p.role in count.roles)
        and p.form.startswith(count.forms)
    )


def _lower(design: Design, *, flat: bool) -> tuple[str, ...]:
    """Wings with a lower roof, level or leaning on higher walls."""
    return tuple(dict.fromkeys(c.wing for c in design.lower_covers if (c.form == "flat") == flat))


def side_gaps(design: Design) -> tuple[tuple[str, str, int], ...]:
    """For each side: its name, its clear gaps, and its length over all."""
    rows = []
    lowest = storeys(design)[0]
    for side in SIDES:
        chain = gaps(design, side, lowest)
        rows.append((side.title(), "  ".join(map(str, chain.lengths)), chain.end - chain.start))
    return tuple(rows)


def height_rows(design: Design) -> tuple[tuple[str, tuple[int, ...]], ...]:
    """What lies in which layer above the ground, from 1; on ground that falls in several."""
    z, names = heights(design), words_of(design).layer
    beam = names.beam if len(z.ties) == 1 else names.beams
    beams = ((said([beam], {"nth": n}), (tie,)) for n, tie in enumerate(z.ties, 1))
    floors = (
        (said([names.floor], {"storey": storey.name.lower()}), tuple(sorted(levels)))
        for storey in storeys(design)
        if (levels := {room.floor for room in storey.rooms if room.indoor})
    )
    rows = sorted((*floors, *beams), key=lambda row: row[1])
    return tuple(
        (name, tuple(map(z.above, layers)))
        for name, layers in (
            (names.foot, (z.ground,)),
            *rows,
            (names.plate, (z.plate,)),
            (names.eaves, (z.eaves,)),
            (names.ridge, (z.ridge,)),
        )
    )


def wing_rows(design: Design) -> tuple[tuple[str, str, int, int], ...]:
    """Where they and the courts do not fill one rectangle, each wing: its name, the size over its walls,
    and how far it lies from the west and the south of the plot."""
    built = {c for r in (*design.wings, *(c.grown(1) for c in design.courts)) for c in r.cells()}
    if len(built) == house_rect(design).area:
        return ()
    wings = ((cover.wing.title(), cover.rect) for cover in design.covers)
    return tuple((name, f"{r.width} × {r.depth}", r.x0, r.y0) for name, r in wings)
