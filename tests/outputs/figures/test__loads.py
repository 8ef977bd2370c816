"""Loads: from every piece of roof to the ground, as networkx finds the ways too."""

from __future__ import annotations

import networkx as nx
import pytest

from genhouse.core.box import Box
from genhouse.generate.recipe import design_shell
from genhouse.model.brief import Brief, Recipe
from genhouse.model.part import Part
from genhouse.outputs.figures._loads import (
    GROUND,
    bearings,
    clear_span,
    load_figures,
    loads,
)
from genhouse.traditions.shelf import names
from tests.houses import SEEDS, house

each_seed = pytest.mark.parametrize("seed", SEEDS)


@each_seed
def test_all_that_is_carried_is_what_networkx_reaches(seed: int) -> None:
    found = loads(house(seed).plan)
    graph = nx.DiGraph(found.edges)
    assert set(found.steps) == {GROUND} | nx.descendants(graph, GROUND)
    assert found.steps == dict(nx.single_source_shortest_path_length(graph, GROUND))


@each_seed
def test_every_piece_of_roof_and_every_beam_is_carried(seed: int) -> None:
    design = house(seed).plan
    found, figures = loads(design), load_figures(design)
    assert figures.carried == figures.pieces > 0
    covering, beams = design.palette.having("covers", "closes"), design.palette.having("spans")
    for n, part in enumerate(found.parts, 1):
        assert n in found.steps or part.role in covering, part
        if part.role in beams:
            places = {at for at, other in bearings(part, found.owner) if other in found.steps}
            length = max(part.box.x1 - part.box.x0, part.box.y1 - part.box.y0)
            assert min(places) <= 0, f"{part} hangs at its first end"
            assert max(places) >= length - 1, f"{part} hangs at its last end"


@pytest.mark.parametrize("name", names())
def test_every_beam_of_every_tradition_is_carried(name: str) -> None:
    """Arcades above columns, springers beside them, collars a cell long under steep roofs among them."""
    for seed in (3200, 3205):
        design = design_shell(Recipe(seed=seed, brief=Brief(tradition=name)))
        found, beams = loads(design), design.palette.having("spans")
        standing = set(found.owner.ravel().tolist())
        loose = [
            part
            for n, part in enumerate(found.parts, 1)
            if part.role in beams and n in standing and n not in found.steps
        ]
        assert not loose


@each_seed
def test_no_beam_spans_further_than_a_bay(seed: int) -> None:
    """Common practice here: five cells clear between bearings, the longest bay of the tradition."""
    assert load_figures(house(seed).plan).longest_span <= 5


def test_a_beam_that_was_sawn_through_hangs() -> None:
    """Take away what carries one beam: the graph says so."""
    design = house(3).plan
    found = loads(design)
    part = next(p for p in found.parts if p.role == "ridge-beam")
    alone = Part("roof", "ridge-beam", "whole", Box(*part.box))
    bare = found.owner.copy()
    x0, y0, z0, x1, y1, z1 = part.box
    bare[x0 : x1 + 2, y0 : y1 + 2, z0 : z1 + 2] = -1
    bare[x0 + 1 : x1 + 1, y0 + 1 : y1 + 1, z0 + 1] = 1
    assert bearings(alone, bare) == []
    assert clear_span(part, found) < max(x1 - x0, y1 - y0)
