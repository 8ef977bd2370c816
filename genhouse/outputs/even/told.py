"""What each step says of its even work."""

from __future__ import annotations

from genhouse.model.design import Design
from genhouse.model.voxels import Voxels
from genhouse.outputs.even.bay_words import told_bays
from genhouse.outputs.even.bays import bays_of
from genhouse.outputs.even.columns import told_columns
from genhouse.outputs.even.course_words import told_slopes
from genhouse.outputs.even.courses import slopes
from genhouse.outputs.even.floors import told_floors
from genhouse.outputs.even.work import Done, done_in
from genhouse.outputs.guide._counts import Called, as_named
from genhouse.outputs.steps.steps import Steps

WALLS = ("frame", "walls", "screens")
"""Building stages whose pieces stand in the lines of walls."""


def even(
    design: Design, voxels: Voxels, steps: Steps, ground: int, called: Called = as_named
) -> tuple[tuple[str, ...], ...]:
    """Sentences for each step.  ground: z of the first layer above it.  called: names of materials."""
    done = (done_in(voxels, steps, step, ground, called) for step in steps.steps)
    return tuple(_told(design, one) for one in done)


def _told(design: Design, done: Done) -> tuple[str, ...]:
    stage = done.step.stage
    if stage in WALLS:
        bays = bays_of(design, done)
        within = {cell for bay in bays for cell in bay.wall.cells.cells()}
        posts = told_columns(done, within) if stage == "frame" else ()
        return (*told_bays(bays, done), *posts)
    if stage == "mats":
        return tuple(told_floors(design, done))
    if stage == "roof":
        return tuple(told_slopes(slopes(design, done), done))
    return ()
