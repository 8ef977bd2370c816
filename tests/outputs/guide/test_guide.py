"""The guide read as any reader of pages would: whole, in order, and without the network."""

from __future__ import annotations

from functools import cache
from html.parser import HTMLParser
from itertools import pairwise
from typing import Any

import pytest

from genhouse.core.spoken import listed, some
from genhouse.generate.recipe import design_shell
from genhouse.model.brief import Brief, Recipe
from genhouse.model.part import STAGES
from genhouse.outputs.bill import bill
from genhouse.outputs.guide._words import advice, facts, height_rows, title, wing_rows, words_of
from genhouse.outputs.guide.guide import guide
from genhouse.outputs.plans.plan import plans
from genhouse.traditions.words import FACTS
from tests.outputs.houses import LARGE, SEEDS, SMALL, built, designed

DOT = b"\x89PNG\r\n\x1a\nnot a picture, but bytes"
VOID = {"meta", "link", "img", "br", "hr"}


class Page(HTMLParser):
    """Every element with its attributes, the text of each table cell, and whether tags balance."""

    def __init__(self) -> None:
        super().__init__()
        self.elements: list[tuple[str, dict[str, str]]] = []
        self.open: list[str] = []
        self.balanced = True
        self.tables: list[list[list[str]]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, {k: v or "" for k, v in attrs}))
        if tag not in VOID:
            self.open.append(tag)
        if tag == "table":
            self.tables.append([])
        elif tag == "tr":
            self.tables[-1].append([])
        elif tag in ("td", "th"):
            self.tables[-1][-1].append("")

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, {k: v or "" for k, v in attrs}))

    def handle_endtag(self, tag: str) -> None:
        self.balanced = self.balanced and bool(self.open) and self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if self.open and self.open[-1] in ("td", "th"):
            self.tables[-1][-1][-1] += data


@cache
def html(seed: int = 7, plot: tuple[int, int] | None = None) -> str:
    design = designed(seed, plot)
    pictures = {stage: DOT + stage.encode() for stage in STAGES}
    return guide(design, bill(built(seed, plot)), pictures, DOT, plans(design)).decode()


@cache
def page(seed: int = 7, plot: tuple[int, int] | None = None) -> Page:
    parser = Page()
    parser.feed(html(seed, plot))
    parser.close()
    return parser


@pytest.mark.parametrize("house", [(7, None), (9, SMALL), (5, LARGE)], ids=str)
def test_the_page_is_well_formed(house: tuple[int, tuple[int, int] | None]) -> None:
    found = page(*house)
    assert found.balanced
    assert found.open == []
    assert found.elements[0] == ("html", {"lang": "en"})
    names = [a["id"] for _, a in found.elements if "id" in a]
    assert len(names) == len(set(names))


def test_nothing_is_fetched_from_elsewhere() -> None:
    for tag, attributes in page().elements:
        assert tag not in ("script", "iframe", "object", "embed")
        for name in ("src", "href", "srcset", "data", "action", "poster"):
            assert attributes.get(name, "#").startswith(("#", "data:")), (tag, attributes)
    text = html().replace('xmlns="http://www.w3.org/2000/svg"', "")
    for sign in ("://", "url(", "@import"):
        assert sign not in text


def test_links_within_the_page_lead_somewhere() -> None:
    names = {a["id"] for _, a in page().elements if "id" in a}
    for _, attributes in page().elements:
        if attributes.get("href", "").startswith("#"):
            assert attributes["href"][1:] in names


def test_every_picture_says_what_it_shows() -> None:
    pictures = [a for tag, a in page().elements if tag == "img"]
    assert len(pictures) == 1 + len(STAGES)
    assert all(len(a["alt"]) > 10 for a in pictures)


def test_headings_step_down_by_one() -> None:
    levels = [int(tag[1]) for tag, _ in page().elements if tag in ("h1", "h2", "h3", "h4")]
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(b - a <= 1 for a, b in pairwise(levels))


def test_every_stage_is_there_in_building_order() -> None:
    found = [a["id"] for tag, a in page().elements if a.get("id", "").startswith("stage-")]
    assert found == [f"stage-{stage}" for stage in STAGES]


@pytest.mark.parametrize("seed", SEEDS)
def test_counts_are_those_of_the_bill(seed: int) -> None:
    lines = bill(built(seed))
    tables = [t for t in page(seed).tables if t[0][:2] == ["Material", "Piece"]]
    assert len(tables) == len(STAGES) + 1
    for stage, table in zip(STAGES, tables, strict=False):
        rows = [(material, piece, int(count)) for material, piece, count in table[1:-1]]
        assert rows == [(x.material, x.piece, x.count) for x in lines if x.stage == stage]
        assert int(table[-1][-1]) == sum(count for *_, count in rows)
    everything = tables[-1]
    assert sum(int(row[2]) for row in everything[1:-1]) == sum(x.count for x in lines)
    assert int(everything[-1][-1]) == sum(x.count for x in lines)


def test_plans_are_within_the_page() -> None:
    assert sum(tag == "svg" for tag, _ in page().elements) == 2


def test_a_client_cannot_write_into_the_page() -> None:
    from dataclasses import replace

    design = designed(7)
    brief = replace(design.recipe.brief, client="<b>Ann & Bo</b>")
    named = replace(design, recipe=replace(design.recipe, brief=brief))
    text = guide(named, (), {}, b"", plans(named)).decode()
    assert "<b>" not in text
    assert "&lt;b&gt;Ann &amp; Bo&lt;/b&gt;" in text


def test_a_page_without_pictures_has_none() -> None:
    text = guide(designed(7), (), {}, b"", ()).decode()
    assert "<img" not in text
    assert 'id="stage-lamps"' in text


def test_words_tell_of_every_stage() -> None:
    for stage in STAGES:
        assert title(designed(7), stage)
        assert 60 < len(advice(designed(7), stage)) < 420


@pytest.mark.parametrize("house", [(7, None), (9, SMALL), (5, LARGE)], ids=str)
def test_facts_are_those_that_words_may_be_filled_with(house: tuple[int, Any]) -> None:
    design = designed(*house)
    counts = {name for name, _ in words_of(design).counts}
    assert set(facts(design)) == {*FACTS, *counts}


def test_numbers_are_read_out() -> None:
    assert some(2, "box", "boxes") == "two boxes"
    assert some(0, "tree") == "no trees"
    assert listed((3,)) == "3"
    assert listed((3, 4, 5)) == "3, 4 and 5"


def test_tie_beams_lie_in_the_fourth_and_sixth_layer() -> None:
    """As the tradition's rule 2 has it: beams at the fourth and sixth cell of six-cell posts."""
    rows = dict(height_rows(designed(7)))
    assert (rows["First tie beam"], rows["Second tie beam"]) == (4, 6)


def test_each_wing_has_its_row_though_two_have_one_name() -> None:
    """Behind a second court stand another left and another right wing."""
    brief = Brief(plot=(29, 50), courts=2, gate="south", arrangement="ear")
    seen = 0
    for seed in range(6):
        design = design_shell(Recipe(seed=seed, brief=brief))
        if rows := wing_rows(design):
            places = sorted((west, south) for _, _, west, south in rows)
            assert places == sorted((wing.x0, wing.y0) for wing in design.wings)
            seen += len({name for name, *_ in rows}) < len(rows)
    assert seen
