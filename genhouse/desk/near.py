"""Neighbours of a house: each changes one thing, so that one walks from house to house by eye."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from typing import Any, TypeVar

from genhouse.core.axes import SIDES
from genhouse.desk.address import query
from genhouse.desk.made import house_of
from genhouse.desk.task import Answer, told
from genhouse.many.variants import SEEDS, kept_stages, varied
from genhouse.model.bounds import LARGEST_PLOT
from genhouse.model.brief import STAGE_NAMES, Recipe
from genhouse.model.design import Design
from genhouse.model.roof import ROOF_FORMS
from genhouse.outputs.storeys import storeys
from genhouse.traditions.sense import storeys_meant
from genhouse.traditions.shelf import tables

T = TypeVar("T")
WIDER = 2
"""Cells by which a neighbour's plot is wider."""


def near(recipe: Recipe) -> Answer:
    """More neighbours than are shown, the likeliest first: some of them may not stand."""
    design = house_of(recipe).plan
    found = ({"text": text, "query": query(other)} for text, other in neighbours(recipe, design))
    return told(list(found))


def neighbours(recipe: Recipe, design: Design) -> Iterator[tuple[str, Recipe]]:
    """What is changed, and the recipe with that change."""
    brief = recipe.brief
    for text, change in _changes(recipe, design):
        yield text, replace(recipe, brief=replace(brief, **change))
    for stage in ("rooms", "fittings"):
        seed = (recipe.seed_of(stage) + 1) % SEEDS
        others = tuple((s, n) for s, n in recipe.stage_seeds if s != stage)
        again = replace(recipe, stage_seeds=tuple(sorted((*others, (stage, seed)))))
        yield f"other {stage}", again
    yield f"seed {recipe.seed + 1}", replace(recipe, seed=(recipe.seed + 1) % (1 << 64))


def _changes(recipe: Recipe, design: Design) -> Iterator[tuple[str, dict[str, Any]]]:
    brief = recipe.brief
    data = tables(brief.tradition)
    gate = _next([side for side in SIDES if side not in brief.sides.party], design.gate_side)
    yield f"gate to the {gate}", {"gate": gate}
    form = _next([f for f in ROOF_FORMS if f != "lean-to"], design.covers[0].form)
    yield f"{form} roof", {"roof": replace(brief.roof, form=form)}
    arrangement = _next(list(data["plan"]["arrangements"]), design.arrangement)
    yield f"arranged as {arrangement}", {"arrangement": arrangement}
    palette = _next(list(data["palette"]), design.palette.name)
    yield f"palette {palette}", {"palette": palette}
    garden = _next(list(data["plan"]["gardens"]), design.gardens[0] if design.gardens else "")
    yield f"garden {garden}", {"garden": garden}
    many = len(storeys(design))
    meant = storeys_meant(replace(brief, storeys=None), data["kind"])
    other = _next(sorted(n for n in meant if n <= len(data["plan"]["storeys"])), many)
    if other != many:
        yield f"{other} storey{'s' if other > 1 else ''}", {"storeys": other, "low": None}
    if isinstance(brief.outline, tuple):
        return
    width = design.plot[0] + (WIDER if design.plot[0] + WIDER <= LARGEST_PLOT[0] else -WIDER)
    plots = {"plot": (width, design.plot[1]), "plot_least": None, "plot_most": None}
    yield f"plot {width} x {design.plot[1]}", plots
    yield "mirrored", {"mirror": not brief.mirror}


def _next(row: Sequence[T], here: T) -> T:
    """What comes after something in a row, round and round."""
    return row[(row.index(here) + 1) % len(row)] if here in row else row[0]


def again(recipe: Recipe, keep: Iterable[str], number: int) -> Recipe:
    """Another house that shares the stages that are kept; with none kept, the next seed's.

    number: how many were asked for before, from 1.  Raises BriefError.
    """
    kept = kept_stages(tuple(keep))
    if not kept:
        return replace(recipe, seed=(recipe.seed + number) % (1 << 64), stage_seeds=())
    return varied(recipe, kept, number)


def locked(keep: Iterable[str]) -> tuple[str, ...]:
    """Stages that stay: those that are kept, and all that they stand on."""
    count = max((STAGE_NAMES.index(name) + 1 for name in keep if name in STAGE_NAMES), default=0)
    return STAGE_NAMES[:count]
