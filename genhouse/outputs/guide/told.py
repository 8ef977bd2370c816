"""What a guide is made of, and what its pictures are called."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from genhouse.model.design import Design
from genhouse.model.voxels import Voxels
from genhouse.outputs.details import Detail
from genhouse.outputs.guide._counts import Called, as_named
from genhouse.outputs.sheets.sheet import Sheets
from genhouse.outputs.step_pictures import View
from genhouse.outputs.steps.steps import Steps

HERO = "hero"


@dataclass(frozen=True, kw_only=True)
class Told:
    """All that a guide is made of.

    pictures: of steps, PNG or JPEG.  details: cut out of the house.  rooms: the same by room.  hero: of the
    whole.  plans: SVG, from below.  edited: what of the cells was changed by hand.  called: names of the
    builder's own.  bundle: pieces that are fetched together.  remarks: on names, what a builder should
    look at.
    """

    design: Design
    voxels: Voxels
    steps: Steps
    sheets: Sheets
    plans: Sequence[str]
    pictures: Sequence[View]
    rooms: Sequence[int]
    details: Sequence[Detail] = ()
    hero: bool = True
    edited: Sequence[str] = ()
    called: Called = as_named
    bundle: int = 64
    remarks: Sequence[str] = ()


def step_name(view: View) -> str:
    """What the picture of a step is called."""
    return f"step-{view.step}-{view.level}{'-behind' * view.behind}"


def detail_name(detail: Detail) -> str:
    """What the picture of a detail is called."""
    return f"detail-{detail.name}"


def room_name(room: int) -> str:
    """What the picture of a room is called."""
    return f"room-{room}"
