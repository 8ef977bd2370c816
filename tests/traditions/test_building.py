"""Trades: each member becomes one part, as the table of uses says."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import pytest

from genhouse.core.box import Box
from genhouse.core.errors import TraditionError
from genhouse.generate import recipe as recipes
from genhouse.model.brief import Brief, Recipe, RoofWish
from genhouse.model.elements import Beam, Element, Member, Slab, of
from genhouse.model.part import Part
from genhouse.traditions.building import Trade, built, set_members
from genhouse.traditions.loader import parse_tradition
from genhouse.traditions.shelf import tables
from genhouse.traditions.tradition import Tradition
from tests.houses import TIMBER

HERE = Box(1, 2, 3, 4, 5, 6)


def test_a_member_is_made_as_the_table_says_and_lies_as_it_lies() -> None:
    beam = Beam(use="trimmer", box=HERE, side="corner south-east")
    assert list(set_members((beam,), TIMBER)) == [
        Part("floors", "trimmer", "panel corner south-east", HERE)
    ]


def test_what_the_table_does_not_know_is_left_to_other_trades() -> None:
    assert not list(set_members((Slab(use="mat", box=HERE),), TIMBER))


@pytest.mark.parametrize(
    ("use", "said"),
    [
        (["cellar", "post", "whole"], "no building stage 'cellar'"),
        (["frame", "pillar", "whole"], "no role 'pillar'"),
        (["frame", "post", "wholly {}"], "no form 'wholly {}'"),
    ],
)
def test_a_use_that_names_nothing_is_refused(use: list[str], said: str) -> None:
    with pytest.raises(TraditionError, match=said):
        parse_tradition("timber", {**tables("timber"), "use": {"post": use}})


def test_every_duty_is_some_roles() -> None:
    duties = tables("timber")["duty"]
    for roles, said in (([], r"duty\.spans: no role has it"), (["girder"], "no role 'girder'")):
        with pytest.raises(TraditionError, match=said):
            parse_tradition("timber", {**tables("timber"), "duty": {**duties, "spans": roles}})


@pytest.mark.parametrize("seed", range(20))
def test_whatever_stands_is_known_to_some_trade(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    seen: list[Member] = []

    def noted(elements: Sequence[Element], tradition: Tradition, trades: Sequence[Trade]) -> Any:
        seen.extend(of(Member, elements))
        return built(elements, tradition, trades)

    monkeypatch.setattr(recipes, "built", noted)
    brief = (Brief(), Brief(gallery=True, plot=(30, 40)), Brief(roof=RoofWish(form="flat")))
    recipes.design_house(Recipe(seed=seed, brief=brief[seed % len(brief)]))
    juts = {name for name, _ in TIMBER.front.juts}
    known = {*dict(TIMBER.uses), *dict(TIMBER.roles), *juts, "mat", "hearth"}
    assert {m.use for m in seen} <= known


@pytest.mark.parametrize("first", range(0, 120, 20))
def test_a_wall_is_whole_but_for_its_way(first: int) -> None:
    """From its foot to its head; and nothing but leaves and panes stands in a way."""
    for seed in range(first, first + 20):
        design = recipes.design_shell(Recipe(seed=seed))
        filled = {cell: part for part in design.parts for cell in part.box.cells()}
        for wall in design.segments:
            way = wall.way.up(wall.floor, wall.top) if wall.way else Box(0, 0, 0, 0, 0, 0)
            opened = set(way.cells())
            for cell in wall.cells.up(wall.z0, wall.z1).cells():
                if cell not in opened and wall.boundary != "open":
                    assert cell in filled, (seed, wall)
            if wall.passable:
                there = [filled[cell] for cell in opened if cell in filled]
                assert {part.stage for part in there} <= {"screens"}, (seed, wall)
