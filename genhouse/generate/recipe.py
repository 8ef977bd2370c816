"""The stages in building order, and nothing else."""

from __future__ import annotations

from genhouse.core.draw import Draw
from genhouse.core.errors import InfeasibleError
from genhouse.generate.layout import lay_out, works
from genhouse.generate.why import explained
from genhouse.model.brief import Recipe
from genhouse.model.design import Design
from genhouse.model.part import Part
from genhouse.stages._floorplan import floorplans
from genhouse.stages.court import court_parts, plan_court
from genhouse.stages.fittings import fittings_parts, plan_fittings
from genhouse.stages.floors import floors_parts
from genhouse.stages.frame import frame_parts
from genhouse.stages.galleries import galleries_parts
from genhouse.stages.lamps import lamps_parts, plan_lamps
from genhouse.stages.mats import mats_parts, plan_mats
from genhouse.stages.roof import plan_roof
from genhouse.stages.roofing import roof_parts
from genhouse.stages.screens import plan_screens, screens_parts
from genhouse.stages.site import site_parts
from genhouse.stages.stair import stair_parts
from genhouse.stages.walls import walls_parts
from genhouse.traditions.loader import load_tradition
from genhouse.traditions.shelf import check_recipe


def design_house(recipe: Recipe) -> Design:
    """Design a house; a pure function of its recipe.

    Raises BriefError or InfeasibleError where the brief cannot be met.
    """
    check_recipe(recipe)
    brief = recipe.brief
    tradition = load_tradition(brief.tradition).with_storeys(brief.storeys)

    def draw(stage: str) -> Draw:
        return Draw(recipe.seed_of(stage)).at(stage)

    try:
        site, bays, rooms = lay_out(recipe, tradition)
    except InfeasibleError as error:
        raise explained(error, brief, lambda b: works(b, recipe.seed)) from error
    mats = plan_mats(rooms, bays, tradition, draw("mats"))
    screens = plan_screens(rooms, tradition, draw("screens"))
    roof = plan_roof(site, rooms, tradition, draw("roof"))
    court = plan_court(site, rooms, brief, draw("court"))
    floors = floorplans(rooms, bays, roof)
    placed = plan_fittings(rooms, floors, tradition, draw("fittings"))

    parts: tuple[Part, ...] = (
        *site_parts(site, tradition),
        *frame_parts(bays, rooms, tradition),
        *walls_parts(site, rooms, tradition),
        *floors_parts(site, bays, rooms, tradition),
        *galleries_parts(site, bays, rooms.rooms, tradition),
        *mats_parts(mats, tradition),
        *stair_parts(rooms, tradition),
        *screens_parts(rooms, screens, tradition),
        *roof_parts(site, roof, rooms, tradition),
        *court_parts(court, tradition),
        *fittings_parts(placed, tradition),
    )
    name = brief.palette or draw("site").choice([p.name for p in tradition.palettes], "palette")
    palette = tradition.palette(name)
    size = (*site.plot, roof.height)
    lighting = plan_lamps(rooms, floors, parts, palette, size, brief.light, draw("lamps"))
    parts += lamps_parts(lighting.lamps)
    turn = site.turn
    gx, gy, gz = turn.cell(*rooms.gate, tradition.levels.ground)
    return Design(
        recipe=recipe,
        palette=palette,
        plot=turn.size,
        height=roof.height,
        gate_side=site.gate_side,
        gate=(gx, gy, 4 * gz),
        wings=tuple(turn.rect(wing.rect) for wing in site.wings),
        courts=tuple(map(turn.rect, site.courts)),
        rooms=tuple(room.turned(turn) for room in rooms.rooms),
        segments=tuple(segment.turned(turn) for segment in rooms.segments),
        stair=rooms.stair.turned(turn) if rooms.stair else None,
        placed=tuple(p.turned(turn) for p in placed),
        parts=tuple(part.turned(turn) for part in parts),
        eaves=roof.eaves,
        fewest_lamps=lighting.fewest,
    )
