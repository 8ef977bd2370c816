"""Ask the house: what a cell is, why it is there, and which wish moved it.

What a wish moved is tried, not guessed: the house is made again without that wish, and the cell is
compared.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from genhouse.core.errors import GenhouseError
from genhouse.core.progress import tell
from genhouse.core.spoken import listed, some
from genhouse.desk.alone import GROUND
from genhouse.desk.made import figures_of, house_of, scene_of, steps_of
from genhouse.desk.refusals import field_of
from genhouse.desk.shown import LOOKS, SIZES
from genhouse.desk.task import WRONG, Answer, sentence, told, whole
from genhouse.generate.why import Requirement, wishes, without
from genhouse.model.brief import Recipe
from genhouse.model.design import Design
from genhouse.model.elements import Wall
from genhouse.model.room import OUTSIDE, Room
from genhouse.outputs.guide.steps import step_titles
from genhouse.outputs.pictures.pick import cell_at
from genhouse.traditions.loader import load_tradition

Cell = tuple[int, int, int]
MOST_TRIED = 16
"""Wishes that are left out in turn, at most."""


def picked(recipe: Recipe, look: str = "", u: str = "", v: str = "") -> Answer:
    """What is at a point of a picture; u, v: in thousandths of its width and height."""
    across, down = whole(u), whole(v)
    if look not in LOOKS or across is None or down is None:
        return sentence("ask: it wants a look and a point", WRONG)
    wide, high = SIZES["large"]
    point = min(across, 1000) * wide / 1000, min(down, 1000) * high / 1000
    cell = cell_at(scene_of(recipe), LOOKS[look], point, (wide, high))
    return told({"what": "bare paper"}) if cell is None else told(_told(recipe, cell))


def asked(recipe: Recipe, x: str = "", y: str = "", level: str = "") -> Answer:
    """What is at a place of a plan: what stands in the layer above the floor, else the floor."""
    voxels = house_of(recipe).voxels
    i, j, storey = whole(x), whole(y), whole(level)
    if i is None or j is None or storey is None:
        return sentence("ask: it wants whole numbers", WRONG)
    if i >= voxels.size[0] or j >= voxels.size[1]:
        return told({"what": "bare paper"})
    floors = [room.floor for room in house_of(recipe).plan.rooms if room.level == storey]
    low = max(floors, key=floors.count) if floors else 2
    for room in house_of(recipe).plan.rooms:
        if room.level == storey and room.has(i, j):
            low = room.floor
    for z in (low + 1, low, low - 1, *range(low - 2, -1, -1)):
        if z < voxels.size[2] and voxels.form[i, j, z]:
            return told(_told(recipe, (i, j, z)))
    return told({"what": "open air"})


def moved(recipe: Recipe, x: str = "", y: str = "", z: str = "") -> Answer:
    """The wishes without which something else would be in a cell; and how many were tried."""
    i, j, k = whole(x), whole(y), whole(z)
    if i is None or j is None or k is None:
        return sentence("ask: it wants whole numbers", WRONG)
    cell = i, j, k
    here, found, tried = _signs(recipe, cell), [], 0
    asked = [wish for wish in wishes(recipe.brief) if wish.key[0] not in GROUND]
    for wish in asked[:MOST_TRIED]:
        tell("wishes", tried, len(asked))
        tried += 1
        if _signs(_without(recipe, wish), cell) != here:
            found.append({"field": field_of(wish.key), "text": wish.text})
    return told({"moved": found, "tried": tried, "asked": len(asked)})


def _without(recipe: Recipe, wish: Requirement) -> Recipe:
    return replace(recipe, brief=without(recipe.brief, [wish]))


def _signs(recipe: Recipe, cell: Cell) -> tuple[str, ...]:
    """What one can tell of a cell; nothing where there is no such house or no such cell."""
    try:
        voxels = house_of(recipe).voxels
    except GenhouseError:
        return ()
    if any(at >= size for at, size in zip(cell, voxels.size, strict=True)):
        return ()
    kinds = {room.id: room.kind for room in voxels.about.rooms}
    material, form = voxels.material[cell], voxels.form[cell]
    return (
        voxels.about.materials[material].name,
        voxels.about.forms[form].name,
        kinds.get(int(voxels.room[cell]), ""),
    )


def _told(recipe: Recipe, cell: Cell) -> dict[str, object]:
    house = house_of(recipe)
    v, design = house.voxels, house.plan
    material = v.about.materials[v.material[cell]]
    piece, stage = v.about.forms[v.form[cell]].piece, v.about.stages[v.stage[cell]]
    room = _room_at(design, cell)
    return {
        "what": f"{material.name}, {piece}",
        "cell": cell,
        "colour": material.colour,
        "stage": stage,
        "step": _step(recipe, cell),
        "room": room and f"{room.kind} (room {room.id}), {some(room.area, 'cell')} of clear floor",
        "why": list(_why(recipe, cell, room)),
    }


def _step(recipe: Recipe, cell: Cell) -> str:
    """The operation that sets it, as the guide calls it."""
    steps = steps_of(recipe)
    number = int(steps.of[cell])
    titles = step_titles(house_of(recipe).plan)
    return next((f"{s.number}. {titles[s.name]}" for s in steps.steps if s.number == number), "")


def _room_at(design: Design, cell: Cell) -> Room | None:
    """The room whose volume, or whose floor just below it, has a cell."""
    x, y, z = cell
    near = [r for r in design.rooms if r.has(x, y) and r.floor - 2 <= z < r.ceiling + 1]
    return max(near, key=lambda r: r.floor, default=None)


def _why(recipe: Recipe, cell: Cell, room: Room | None) -> Iterator[str]:
    design = house_of(recipe).plan
    x, y, z = cell
    wall = next((s for s in design.segments if s.cells.has(x, y) and s.z0 - 1 <= z <= s.z1), None)
    stage = house_of(recipe).voxels.about.stages[house_of(recipe).voxels.stage[cell]]
    if stage == "roof":
        yield from _of_roof(design, cell)
    elif wall:
        yield _of_wall(design, wall)
    for placed in design.placed if stage == "fittings" else ():
        if placed.cells.has(x, y) and placed.floor <= z:
            used = " and is used from beside it" if placed.use else ""
            yield f"Part of a {placed.name}: it stands in {_kind(design, placed.room)}{used}."
            break
    for yard in design.yards:
        if any(rect.has(x, y) for rect in yard.rects):
            yield f"This ground is the {yard.use}, {some(yard.area, 'cell')}."
    if room:
        yield from _of_room(recipe, room)


def _of_wall(design: Design, wall: Wall) -> str:
    low, high = _kind(design, wall.low), _kind(design, wall.high)
    between = f"between {low} and {high}" if low != high else f"within {low}"
    opened = "is whole" if wall.opening == "none" else f"has a {wall.opening}"
    if wall.opening == "screens":
        opened = "slides open"
    return f"The bay of wall {between} {opened}; {some(wall.length, 'cell')} clear between posts."


def _of_roof(design: Design, cell: Cell) -> Iterator[str]:
    x, y, _ = cell
    for cover in design.covers:
        low, high = cover.eaves
        if cover.rect.grown(max(low, high)).has(x, y):
            slope = "" if cover.form == "flat" else f", its profile {cover.profile},"
            span = some(cover.span, "cell")
            yield f"The {cover.called} has a {cover.form} roof{slope} over {span} of span."
            return


def _of_room(recipe: Recipe, room: Room) -> Iterator[str]:
    """Where it lies, and what the tradition asks of its kind."""
    depth = {r.id: r.depth for r in figures_of(recipe).rooms}[room.id]
    yield f"The {room.kind} lies {some(depth, 'room')} from outside."
    kind = dict(load_tradition(recipe.brief.tradition).kinds).get(room.kind)
    if kind and kind.near:
        yield f"A {room.kind} likes to be by the {listed(kind.near)}."
    if kind and kind.far:
        yield f"It keeps away from the {listed(kind.far)}."


def _kind(design: Design, number: int) -> str:
    return "outdoors" if number == OUTSIDE else f"the {design.room(number).kind}"
