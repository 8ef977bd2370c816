"""The steps of a guide: each with its pictures, its words, its counts, and where its pieces are."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
from msgspec import Struct

from genhouse.core.spoken import some
from genhouse.model.design import Design
from genhouse.outputs.even.told import even
from genhouse.outputs.guide._counts import Counts, Need
from genhouse.outputs.guide._places import cell, place
from genhouse.outputs.guide._where import layers, where
from genhouse.outputs.guide._words import facts
from genhouse.outputs.guide.told import Told, detail_name, step_name
from genhouse.outputs.step_pictures import pieces_in
from genhouse.outputs.steps.reach import Reach
from genhouse.outputs.steps.steps import Row, Step
from genhouse.outputs.storeys import storeys
from genhouse.traditions.loader import load_tradition
from genhouse.traditions.words import clause, clauses


class Picture(Struct, frozen=True, kw_only=True):
    address: str
    words: str


class StepPage(Struct, frozen=True, kw_only=True):
    """One step as the page shows it.  where: sentences of where its pieces are, and where one stands.
    levels: those of its sheets.  even: sentences of what repeats, and what breaks it."""

    step: Step
    title: str
    say: str
    pictures: tuple[Picture, ...]
    details: tuple[Picture, ...]
    needs: tuple[Need, ...]
    where: tuple[str, ...]
    levels: tuple[int, ...]
    even: tuple[str, ...]


def step_titles(design: Design) -> dict[str, str]:
    """What each step is called, by its name."""
    known = facts(design)
    works = load_tradition(design.recipe.brief.tradition).steps
    return {work.name: clause(work.title, known) for work in works}


def step_pages(told: Told, counts: Counts, reach: Sequence[Reach]) -> Iterator[StepPage]:
    works = {w.name: w for w in load_tradition(told.design.recipe.brief.tradition).steps}
    known, titles = facts(told.design), step_titles(told.design)
    ground = told.sheets.ground
    sentences = where(told.steps, reach, ground)
    repeats = even(told.design, told.voxels, told.steps, ground, told.called)
    for step, lines, again in zip(told.steps.steps, sentences, repeats, strict=True):
        rows = told.steps.rows_of(step)
        yield StepPage(
            step=step,
            title=titles[step.name],
            say=clauses(works[step.name], known),
            pictures=tuple(_pictures(told, step, titles[step.name], rows)),
            details=tuple(details_of(told, step.number)),
            needs=counts.step(step.number),
            where=lines,
            levels=tuple(np.flatnonzero((told.steps.of == step.number).any(axis=(0, 1))).tolist()),
            even=again,
        )


def details_of(told: Told, step: int) -> Iterator[Picture]:
    """Those beside the picture of a step; of the roof for none."""
    for one in told.details:
        if one.step == step:
            r, first = one.box.rect, told.sheets.ground - 1
            where = f"{place(r)}, {layers(max(1, one.box.z0 - first), one.box.z1 - 1 - first)}"
            words = f"Cut out: {one.words}; {where}."
            yield Picture(address=f"picture:{detail_name(one)}", words=words)


def _pictures(told: Told, step: Step, title: str, rows: Sequence[Row]) -> Iterator[Picture]:
    named = {storey.level: storey.name.lower() for storey in storeys(told.design)}
    for view in told.pictures:
        if view.step == step.number:
            level = f", the {named[view.level]} cut open" if view.level in named else ""
            if view.behind:
                level = ", from the other side"
            new = pieces_in(told.voxels, told.steps, view)
            first = f"the first at {cell(rows[0].x, rows[0].y)}" if rows else "none of them here"
            words = f"{title}{level}; new: {some(new, 'piece')}, {first}."
            yield Picture(address=f"picture:{step_name(view)}", words=words)
