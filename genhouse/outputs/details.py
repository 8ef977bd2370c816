"""Details cut out of the house and enlarged: where work hides, and where one piece meets another."""

from __future__ import annotations

from collections.abc import Iterator
from functools import reduce
from itertools import product
from typing import TYPE_CHECKING

import numpy as np
from msgspec import Struct, structs

from genhouse.core.axes import Side
from genhouse.core.box import Box, Rect
from genhouse.model.design import Design
from genhouse.model.roof import Cover
from genhouse.outputs.pictures import picture
from genhouse.outputs.pictures.camera import VIEWS, View
from genhouse.outputs.pictures.vignettes import NEAR, SCALE, cropped, edge, size_of
from genhouse.outputs.steps.steps import Steps

if TYPE_CHECKING:
    from PIL.Image import Image

ROUND = 2
"""Cells about what a detail is of."""
JOINT = 5
"""Cells of a roof to each side of where its slopes meet."""
THICK = 3
"""Cells of a slice through a wing."""


class Detail(Struct, frozen=True):
    """What is cut out of a house.

    name: what its picture is called.  step: the one beside whose picture it is shown, 0 with the roof.
    words: what it is.  box: what is left.  open: rows of cells next to the camera that are taken away too.
    upto: the last step whose pieces are shown.  face: the side to look at, "" for the sunny one.
    """

    name: str
    step: int
    words: str
    box: Box
    open: int
    upto: int
    face: Side | str = ""


def details(design: Design, steps: Steps) -> tuple[Detail, ...]:
    """Those that a guide shows, in the order of its steps and then of its roof."""
    found = (*_beside_steps(design, steps), *_of_the_roof(design, steps))
    return tuple(structs.replace(one, box=_trimmed(one, steps)) for one in found)


def _beside_steps(design: Design, steps: Steps) -> Iterator[Detail]:
    last, high = len(steps.steps), steps.of.shape[2]
    if walls := _last(steps, "walls", low=True):
        box = _corner(design, camera(design.gate_side)).up(0, high)
        words = "a corner of the house, from its foot to its plate"
        yield Detail("corner", walls, words, box, 0, walls)
    if (stair := _last(steps, "stair")) and design.stairs:
        flight = design.stairs[0]
        ground = reduce(Rect.hull, flight.run, flight.well)
        top = max(room.floor for room in design.rooms if room.indoor) + THICK
        box = ground.grown(1).up(design.room(flight.room).floor - 1, top)
        yield Detail("stair", stair, "the stair, open on two sides", box, 1, stair)
    for flue in [p for p in design.parts if p.stage == "roof" and p.form == "chimney"][:1]:
        box = flue.box.rect.grown(ROUND).up(1, high)
        number = int(steps.of[flue.box[:3]])
        words = "the flue from its foot to its head, cut open"
        yield Detail("flue", number, words, box, ROUND - 1, last, _fire(design, flue.box.rect))
    ways = [wall for wall in design.segments if wall.opening == "entrance" and wall.face]
    if (hung := _last(steps, "screens")) and ways:
        wall = ways[0]
        box = wall.cells.grown(ROUND).up(wall.z0 - 1, wall.z1)
        yield Detail("entrance", hung, "the way in, from outside", box, 0, last, wall.face or "")


def _of_the_roof(design: Design, steps: Steps) -> Iterator[Detail]:
    last, high, roofed = len(steps.steps), steps.of.shape[2], _last(steps, "roof")
    cover = max(design.covers, key=lambda c: (c.storeys, c.rect.area, c.rect))
    wing = f"the {cover.called}"
    words = f"a slice through {wing}, from its foot to its ridge"
    yield Detail("slice", 0, words, _slice(cover).up(0, high), 0, last)
    for joint in list(_joints(design, camera(design.gate_side)))[:1]:
        spot = joint.grown(JOINT)
        words = "where two wings meet at a corner of a court"
        yield Detail("joint", 0, words, spot.up(_eaves(design, spot), high), 0, roofed)
    end, side = _end(cover)
    words = f"the {side} end of the roof over {wing}"
    yield Detail("end", 0, words, end.up(_eaves(design, end), high), 0, roofed, side)


def _eaves(design: Design, ground: Rect) -> int:
    """A layer below the lowest piece that covers some ground."""
    roof = design.palette.having("covers")
    over = (
        p.box.z0
        for p in design.parts
        if p.stage == "roof" and p.role in roof and p.box.rect.meets(ground)
    )
    return max(0, min(over, default=design.eaves) - 1)


def _last(steps: Steps, stage: str, *, low: bool = False) -> int:
    """The number of a stage's last step, or its first; 0 where it has none."""
    found = [step.number for step in steps.steps if step.stage == stage]
    return (found[0] if low else found[-1]) if found else 0


def _trimmed(one: Detail, steps: Steps) -> Box:
    """Its box within the plot, no higher than what is shown in it."""
    wide, deep, high = steps.of.shape
    x0, y0, z0, x1, y1, z1 = one.box
    x0, y0, z0 = max(0, x0), max(0, y0), max(0, z0)
    x1, y1, z1 = min(wide, x1), min(deep, y1), min(high, z1)
    here = steps.of[x0:x1, y0:y1, z0:z1]
    layers = np.flatnonzero(((here > 0) & (here <= one.upto)).any(axis=(0, 1)))
    return Box(x0, y0, z0, x1, y1, z0 + int(layers[-1]) + 1 if layers.size else z0 + 1)


def _corner(design: Design, view: View) -> Rect:
    """The corner of the house that is next to the camera: a few cells of the wing that ends there."""
    east, north = (side in NEAR[view] for side in ("east", "north"))
    wing = max(
        design.wings,
        key=lambda r: ((r.x1 if east else -r.x0) + (r.y1 if north else -r.y0), r),
    )
    x, y = (wing.x1 - JOINT if east else wing.x0, wing.y1 - JOINT if north else wing.y0)
    return Rect(x, y, x + JOINT, y + JOINT).grown(1)


def _fire(design: Design, flue: Rect) -> Side | str:
    """The side to which what burns beside a flue looks; "" where nothing stands there."""
    beside = (p for p in design.placed if p.cells.adjoins(flue) or p.cells.meets(flue))
    return next((p.facing for p in beside), "")


def _joints(design: Design, view: View) -> Iterator[Rect]:
    """The cells off the corners of courts in which two wings meet whose ridges cross; first those on the
    far side of a court, which slope to the camera."""
    east, north = (side in NEAR[view] for side in ("east", "north"))
    for court in design.courts:
        columns, rows = (court.x0 - 1, court.x1), (court.y0 - 1, court.y1)
        for x, y in product(columns if east else columns[::-1], rows if north else rows[::-1]):
            spot = Rect(x, y, x + 1, y + 1)
            axes = {cover.axis for cover in design.covers if cover.rect.grown(1).meets(spot)}
            if len(axes) > 1:
                yield spot


def _slice(cover: Cover) -> Rect:
    """A few cells of a wing with its eaves, in its middle."""
    lie, (low, high) = cover.lie, cover.eaves
    middle = (lie.x0 + lie.x1) // 2
    return Rect(middle - 1, lie.y0 - low, middle - 1 + THICK, lie.y1 + high).lie(cover.axis)


def _end(cover: Cover) -> tuple[Rect, Side]:
    """An end of a wing's roof with its eaves, and the side on which it lies."""
    lie, (low, high) = cover.lie, cover.eaves
    side: Side = "east" if cover.axis == "x" else "south"
    ends = (lie.x1 - JOINT, lie.x1 + ROUND) if side == "east" else (lie.x0 - ROUND, lie.x0 + JOINT)
    return Rect(ends[0], lie.y0 - low, ends[1], lie.y1 + high).lie(cover.axis), side


def camera(gate: Side) -> View:
    """From where a house with its gate on a side is looked at in all steps."""
    return picture.SUNNY_SIDE[gate]


def detail_picture(scene: picture.Scene, steps: Steps, detail: Detail) -> Image:
    """What is left of the house, at the scale of rooms by themselves."""
    x0, y0, z0, x1, y1, z1 = detail.box
    part, of = cropped(scene, detail.box), steps.of[x0:x1, y0:y1, z0:z1]
    shown = (of > 0) & (of <= detail.upto)
    view = view_of(scene, detail)
    for side in NEAR[view]:
        shown[edge(side, detail.open)] = False
    return picture.draw(part, view=view, size=size_of(shown.shape, SCALE), mask=shown)


def view_of(scene: picture.Scene, detail: Detail) -> View:
    """From where one looks at it: the sunny side, if that is not the wrong one."""
    views = (camera(picture.gate_side(scene.voxels)), *VIEWS)
    return next(view for view in views if not detail.face or detail.face in NEAR[view])
