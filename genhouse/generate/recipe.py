"""The stages in building order, and nothing else."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from genhouse.core.draw import Draw
from genhouse.core.errors import InfeasibleError
from genhouse.core.patch import cells_of, painted
from genhouse.generate.draws import Anew, Draws
from genhouse.generate.layout import Layout, lay_out
from genhouse.generate.offers import Stands, explained
from genhouse.model.brief import LAMPLIGHT, Recipe
from genhouse.model.design import Design
from genhouse.model.elements import Element, Fitted
from genhouse.model.laid import Laid
from genhouse.model.palette import Palette
from genhouse.model.room import OUTER
from genhouse.stages.bays import Bays
from genhouse.stages.colonnades import colonnades, columns
from genhouse.stages.court import Court, Planting, plan_court, planted
from genhouse.stages.fittings import (
    cautions,
    lacking,
    plan_fittings,
    plan_seats,
    unseated,
)
from genhouse.stages.floors import floors, matted
from genhouse.stages.fronts import dressed, juts
from genhouse.stages.furnishing.floorplan import Floor, floorplans, kept_for
from genhouse.stages.galleries import upper_walks
from genhouse.stages.ground import made_ground
from genhouse.stages.lamps import Lighting, hung_lamps, plan_lamps
from genhouse.stages.roof import Roof
from genhouse.stages.roofing import roof_members
from genhouse.stages.rooms import Rooms
from genhouse.stages.screens import plan_screens
from genhouse.stages.site import Site
from genhouse.stages.stair import climbs
from genhouse.stages.terraces import edges, floor_steps, let_down, levelled, outdoor_steps
from genhouse.stages.verandas import fronts, outer_floors, with_outer_veranda
from genhouse.stages.walls import (
    garden_walls,
    hearth_back,
    party_walls,
    screen_walls,
    supports,
)
from genhouse.stages.ways.flues import beside_stacks, dug, under_floors
from genhouse.stages.yards import plan_yards
from genhouse.traditions.building import built, trades_of
from genhouse.traditions.shelf import check_recipe
from genhouse.traditions.tradition import LEAF, Tradition

FURNISHINGS = 4
"""Ways to furnish a house that are tried until lamps reach every corner."""
PLENTY = 16
"""The same until those who live there have beds and places at table."""
SEATINGS = 3
"""The first of these, in which all who sleep there shall find a place at table."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Shell:
    """A house closed against the weather: what its plans are, and its parts as they were laid."""

    recipe: Recipe
    tradition: Tradition
    palette: Palette
    site: Site
    bays: Bays
    rooms: Rooms
    roof: Roof
    laid: Laid


def design_shell(recipe: Recipe) -> Design:
    """The house that ``design_house`` designs, up to its roof: no mats, court, fittings or lamps yet.

    Raises as that does.
    """
    return _turned(_shell(Draws(recipe), design_house))


def design_house(recipe: Recipe, anew: Anew = (), stands: Stands | None = None) -> Design:
    """Design a house; a pure function of its recipe.

    anew: what is drawn anew, where a house of the recipe was not sound.  stands: tries what is offered
    where the brief has no answer; this function where it is left out.

    Raises BriefError or InfeasibleError where the brief cannot be met.
    """
    draws = Draws(recipe, anew)
    shell = _shell(draws, stands or design_house)
    tradition, rooms = shell.tradition, shell.rooms
    standing = columns(shell.site, tradition)
    court = plan_court(shell.site, rooms, recipe.brief, tradition, draws.of("court"), standing)
    grounds = plan_yards(
        shell.site,
        rooms,
        court,
        tradition,
        _bound(draws, tradition),
        draws.of("court").at("yards"),
        _beside(shell),
        beside_stacks(rooms.flues) | edges(shell.site),
    )
    more = (
        *let_down(matted(rooms, shell.bays, tradition, draws.of("mats")), shell.site),
        *let_down(grounds.walls, shell.site),
        *planted(
            shell.site,
            [*(c.pieces for c in court), _undug(grounds.pieces, shell), grounds.entry],
            tradition,
        ),
    )
    trades = trades_of(tradition)
    laid = shell.laid.with_parts(built(more, tradition, trades))
    if steps := tuple(outdoor_steps(shell.site, laid, tradition.storeys[0].slab)):
        laid = laid.with_parts(built(steps, tradition, trades))
    placed, laid, lighting = _furnished(draws, shell, court, laid)
    laid = laid.with_parts(built(hung_lamps(lighting.lamps), tradition, trades))
    whole = _turned(replace(shell, laid=laid))
    turn = shell.site.turn
    return replace(
        whole,
        placed=tuple(p.turned(turn) for p in placed),
        fewest_lamps=lighting.fewest,
        lit=lighting.means,
        cautions=cautions(placed, tradition),
        gardens=tuple(garden.kind for garden in court),
        yards=tuple(yard.turned(turn) for yard in grounds.yards),
    )


def _undug(pieces: Planting, shell: _Shell) -> Planting:
    """What yards are made of, but for ground through which flues run."""
    taken = dug(shell.rooms.flues)
    return tuple(p for p in pieces if p[2] >= 0 or p[:2] not in taken) if taken else pieces


def _beside(shell: _Shell) -> frozenset[tuple[int, int]]:
    """Where something stands on the ground beside the house: porches, steps, what juts, verandas."""
    site, laid, slab = shell.site, shell.laid, shell.tradition.storeys[0].slab
    x, y, z0, _, _, z1 = laid.box.T
    low = slab - np.array(site.falls)[x, y] if site.falls else slab
    standing = (z0 < low + LEAF) & (z1 > low)
    found = painted(
        site.plot, (r for room in shell.rooms.rooms if room.kind == OUTER for r in room.rects)
    )
    found.reshape(-1)[laid.cell[standing[laid.part]] // laid.size[2]] = True
    return cells_of(found & ~painted(site.plot, site.built))


def _bound(draws: Draws, tradition: Tradition) -> str:
    """What bounds the yards."""
    weights = [bound.weight for _, bound in tradition.bounds]
    return draws.of("site").choice([name for name, _ in tradition.bounds], "bound", weights)


def _furnished(
    draws: Draws, shell: _Shell, courts: Sequence[Court], laid: Laid
) -> tuple[tuple[Fitted, ...], Laid, Lighting]:
    """Fittings, what is laid with them, and lamps: furnished anew where no lamps reach some corner.

    Raises InfeasibleError where they never do.
    """
    rooms, draw = shell.rooms, draws.of("fittings")
    trades = trades_of(shell.tradition)
    floors = floorplans(rooms, shell.bays, shell.roof)
    seats = plan_seats(rooms, courts, laid, shell.tradition, draw)
    refusal: InfeasibleError | None = None
    times = PLENTY if draws.recipe.brief.people else FURNISHINGS
    for placed in _placings(rooms, floors, shell.tradition, draw, times):
        if short := lacking(rooms, placed, shell.tradition, draws.recipe.brief.people or 0):
            refusal = refusal or InfeasibleError(short, stage="fittings")
            continue
        placed = (*placed, *seats)
        filled = laid.with_parts(built(placed, shell.tradition, trades))
        try:
            lighting = plan_lamps(
                rooms,
                kept_for(placed, floors),
                filled,
                shell.palette,
                draws.recipe.brief.light,
                shell.tradition,
                draws.of("lamps"),
            )
        except InfeasibleError as error:
            refusal = refusal or error
        else:
            return placed, filled, lighting
    raise refusal or InfeasibleError("no fittings were tried", stage="lamps")


def _placings(
    rooms: Rooms, floors: Sequence[Floor], tradition: Tradition, draw: Draw, times: int
) -> Iterator[tuple[Fitted, ...]]:
    """What stands in the rooms, drawn anew and anew; of the first few draws, those in which not all who
    sleep there find a place at table come last."""
    short = []
    for n in range(times):
        placed = plan_fittings(rooms, floors, tradition, draw.at(n) if n else draw)
        if n < SEATINGS and unseated(rooms, placed, tradition):
            short.append(placed)
        else:
            yield placed
    yield from short


def _shell(draws: Draws, stands: Stands) -> _Shell:
    recipe = draws.recipe
    check_recipe(recipe)
    asked = replace(recipe.brief, client="", palette=None, garden=None, light=LAMPLIGHT)
    first = Draws(replace(recipe, brief=asked), draws.anew).up_to("roof")
    try:
        closed = _closed(first)
    except InfeasibleError as error:
        raise (error if draws.anew else explained(error, recipe, stands)) from error
    palettes = [p.name for p in closed.tradition.palettes]
    drawn = Draws(recipe).of("site").choice(palettes, "palette")
    palette = closed.tradition.palette(recipe.brief.palette or drawn)
    return replace(closed, recipe=recipe, palette=palette)


@lru_cache(maxsize=4)
def _closed(draws: Draws) -> _Shell:
    """The shell of a recipe without what later stages alone read; in the first palette that there is.

    Kept, for it is asked again wherever no more than gardens, fittings, lamps or colours change.
    """
    layout = lay_out(draws)
    tradition = layout.tradition
    rooms = with_outer_veranda(
        layout.site, layout.rooms, layout.roof, tradition, draws.of("rooms").at("outer")
    )
    site = levelled(layout.site, fronts(rooms), dug(rooms.flues))
    rooms = replace(rooms, segments=plan_screens(rooms, tradition, draws.of("screens")))
    rooms = replace(rooms, segments=dressed(rooms, tradition, draws.of("rooms").at("fronts")))
    layout = replace(layout, site=site, rooms=rooms)
    size = (*layout.site.plot, layout.roof.height)
    return _Shell(
        recipe=draws.recipe,
        tradition=tradition,
        palette=tradition.palette(tradition.palettes[0].name),
        site=layout.site,
        bays=layout.bays,
        rooms=rooms,
        roof=layout.roof,
        laid=Laid.of(built(standing(layout), tradition, trades_of(tradition)), size),
    )


def standing(layout: Layout) -> tuple[Element, ...]:
    """All that stands before the house is furnished: what the trades of its tradition are given."""
    site, bays, rooms, tradition = layout.site, layout.bays, layout.rooms, layout.tradition
    standing = columns(site, tradition)
    return (
        *made_ground(site, rooms.front, tradition, dug(rooms.flues)),
        *under_floors(site, rooms.flues, tradition),
        *rooms.segments,
        *juts(site, rooms, layout.roof, tradition),
        *supports(site, rooms.segments, tradition.storeys[0].slab),
        *let_down(garden_walls(site, rooms, tradition), site),
        *let_down(party_walls(site, rooms, layout.roof, tradition), site),
        *hearth_back(site, rooms, tradition),
        *screen_walls(site, rooms, tradition),
        *floors(site, bays, rooms, tradition),
        *outer_floors(rooms),
        *floor_steps(site, rooms.rooms, rooms.segments, tradition.storeys[0].floor, standing),
        *upper_walks(site, bays, rooms.rooms, standing),
        *colonnades(site, layout.roof, rooms.rooms, tradition),
        *climbs(rooms, tradition),
        *roof_members(site, layout.roof, rooms, tradition),
    )


def _turned(shell: _Shell) -> Design:
    """The shell with its gate to the side asked for, its parts yet to be turned."""
    site, rooms, roof, turn = shell.site, shell.rooms, shell.roof, shell.site.turn
    foot = shell.tradition.storeys[0].slab - site.fall(*rooms.gate)
    gx, gy, gz = turn.cell(*rooms.gate, foot)
    return Design(
        recipe=shell.recipe,
        palette=shell.palette,
        gate_side=site.gate_side,
        gate=(gx, gy, 4 * gz),
        wings=tuple(turn.rect(wing.rect) for wing in site.wings),
        courts=tuple(map(turn.rect, site.courts)),
        rooms=tuple(room.turned(turn) for room in rooms.rooms),
        segments=tuple(segment.turned(turn) for segment in rooms.segments),
        stairs=tuple(stair.turned(turn) for stair in rooms.stairs),
        placed=(),
        laid=shell.laid.in_building_order(),
        turn=turn,
        eaves=roof.eaves,
        covers=tuple(cover.turned(turn) for cover in roof.covers),
        swept=roof.swept,
        dormers=len(roof.dormers),
        arrangement=site.arrangement,
        outline=site.outline.turned(turn).corners if site.outline else (),
    )
