"""The guide read as any reader of pages would: whole, in order, and without the network."""

from __future__ import annotations

import re
from collections import Counter
from functools import cache
from html.parser import HTMLParser
from itertools import pairwise
from typing import Any

import numpy as np
import pytest

from genhouse.core.spoken import listed, numeral, some
from genhouse.generate.recipe import design_shell
from genhouse.model.brief import Brief, Ground, Recipe
from genhouse.model.design import Design
from genhouse.model.voxels import Voxels
from genhouse.outputs.details import details
from genhouse.outputs.even.told import even
from genhouse.outputs.guide._fronts import front
from genhouse.outputs.guide._mats import mats
from genhouse.outputs.guide._roof import courses
from genhouse.outputs.guide._walls import wall_rows
from genhouse.outputs.guide._words import facts, height_rows, wing_rows
from genhouse.outputs.guide.guide import guide
from genhouse.outputs.guide.told import Told
from genhouse.outputs.plans.plan import plans
from genhouse.outputs.setting_out import heights, words_of
from genhouse.outputs.sheets.sheet import Sheets
from genhouse.outputs.step_pictures import views
from genhouse.outputs.steps.steps import building_steps
from genhouse.traditions.loader import load_tradition
from genhouse.traditions.words import FACTS, clauses
from tests.outputs.houses import LARGE, SEEDS, SMALL, built, designed

DOT = b"\x89PNG\r\n\x1a\nnot a picture, but bytes"
VOID = {"meta", "link", "img", "br", "hr", "input"}


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


def told(design: Design, voxels: Voxels, *, pictures: bool = True, **more: Any) -> Told:
    steps = building_steps(design, voxels)
    return Told(
        design=design,
        voxels=voxels,
        steps=steps,
        sheets=Sheets(design, voxels, steps),
        plans=plans(design),
        pictures=views(voxels, steps) if pictures else (),
        details=details(design, steps) if pictures else (),
        rooms=[room.id for room in design.rooms if room.indoor] if pictures else (),
        hero=pictures,
        **more,
    )


def drawn(told: Told) -> str:
    return guide(told).whole(lambda name: DOT + name.encode()).decode()


@cache
def html(seed: int = 7, plot: tuple[int, int] | None = None) -> str:
    return drawn(told(designed(seed, plot), built(seed, plot)))


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
    first, attributes = found.elements[0]
    assert (first, attributes["lang"]) == ("html", "en")
    names = [a["id"] for _, a in found.elements if "id" in a]
    assert len(names) == len(set(names))


def test_nothing_is_fetched_from_elsewhere() -> None:
    for tag, attributes in page().elements:
        assert tag not in ("iframe", "object", "embed")
        assert tag != "script" or "src" not in attributes
        for name in ("src", "href", "srcset", "data", "action", "poster"):
            at = attributes.get(name, "#")
            sheet = tag == "a" and re.fullmatch(r"sheets/level-\d\d\.svg", at)
            assert sheet or at.startswith(("#", "data:")), (tag, attributes)
    text = html().replace('xmlns="http://www.w3.org/2000/svg"', "")
    for sign in ("://", "@import"):
        assert sign not in text
    assert text.count("url(") == text.count("url(#")


def test_links_within_the_page_lead_somewhere() -> None:
    names = {a["id"] for _, a in page().elements if "id" in a}
    for _, attributes in page().elements:
        if attributes.get("href", "").startswith("#"):
            assert attributes["href"][1:] in names


def test_every_picture_says_what_it_shows() -> None:
    pictures = [a for tag, a in page().elements if tag == "img"]
    steps = building_steps(designed(7), built(7))
    rooms = sum(room.indoor for room in designed(7).rooms)
    cut = len(details(designed(7), steps))
    assert len(pictures) == 1 + len(views(built(7), steps)) + rooms + cut
    assert all(len(a["alt"]) > 10 for a in pictures)
    assert len({a["alt"] for a in pictures}) == len(pictures)


def test_headings_step_down_by_one() -> None:
    levels = [int(tag[1]) for tag, _ in page().elements if tag in ("h1", "h2", "h3", "h4")]
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(b - a <= 1 for a, b in pairwise(levels))


def test_every_step_is_there_in_building_order() -> None:
    found = [a["id"] for tag, a in page().elements if tag == "section" and "stage" in a.values()]
    steps = building_steps(designed(7), built(7)).steps
    assert found == [f"step-{n}" for n in range(1, len(steps) + 1)]


@pytest.mark.parametrize("seed", SEEDS)
def test_counts_are_those_of_the_cells(seed: int) -> None:
    """Step by step, and in all; the order has one more for each twenty."""
    steps = building_steps(designed(seed), built(seed))
    tables = [t for t in page(seed).tables if t[0][:3] == ["Done", "Material", "Piece"]]
    assert len(tables) == len(steps.steps)
    for step, table in zip(steps.steps, tables, strict=True):
        rows = Counter[tuple[str, str]]()
        for row in steps.rows_of(step):
            rows[row.material, row.piece] += row.run
        assert [(*key, n) for key, n in sorted(rows.items())] == [
            (material, piece, int(count)) for _, material, piece, count in table[1:-1]
        ]
        assert int(table[-1][-1]) == step.pieces
    everything = next(t for t in page(seed).tables if t[0][0] == "Fetched")
    counts = [int(row[3]) for row in everything[1:-1]]
    assert sum(counts) == np.count_nonzero(built(seed).form)
    assert [int(row[4]) for row in everything[1:-1]] == [n + (n + 19) // 20 for n in counts]


def test_every_fitting_stands_in_its_room_with_where_and_which_way() -> None:
    tables = [t for t in page().tables if t[0] == ["Fitting", "Where", "Looks", "Used from"]]
    rows = [row for table in tables for row in table[1:]]
    assert len(rows) == len(designed(7).placed)
    assert sorted(row[0] for row in rows) == sorted(p.name for p in designed(7).placed)


def test_every_fitting_can_be_built_from_its_drawing() -> None:
    """The pieces told of a kind, layer by layer, are those of its first in the cells."""
    text, voxels = html(), built(7)
    own = voxels.set_by("fittings")
    firsts = {p.name: p for p in reversed(designed(7).placed)}
    for name, placed in firsts.items():
        at = text.index(f"<strong>{name}</strong>", text.index("Fittings, layer by layer"))
        told_of = re.findall(r"<br>\d: ([^<]+)", text[at : text.index("</li>", at)])
        counts = [int(n) for line in told_of for n in re.findall(r"(?:^|; )(\d+) ", line)]
        x0, y0, x1, y1 = placed.cells
        high = slice(placed.floor, placed.floor + 5)
        assert sum(counts) >= own[x0:x1, y0:y1, high].sum() > 0, name


def test_every_form_of_the_house_is_in_the_key() -> None:
    """Whatever is set can be looked up: its picture, and its marks as they are on the sheets."""
    text = html()
    key = text[text.index('<section id="forms">') : text.index('<section id="bill">')]
    about = built(7).about
    for n in np.unique(built(7).form).tolist():
        if n:
            assert f"<strong>{about.forms[n].piece}</strong>" in key
            if about.forms[n].name != "whole":
                assert f'href="#f-{about.forms[n].name.replace(" ", "-")}"' in key


def test_plans_and_sheets_are_within_the_page() -> None:
    found = [a.get("class", "") for _, a in page().elements]
    levels = np.count_nonzero(built(7).form.any(axis=(0, 1)))
    assert found.count("plan") == 2
    assert found.count("level") == levels
    assert levels <= found.count("sheet") <= 2 * levels


@pytest.mark.parametrize("seed", SEEDS)
def test_every_kind_of_bay_is_drawn_with_each_piece_that_one_sees_from_its_front(seed: int) -> None:
    """Boxes by hand from the cells: a thin wall shows every piece of its plane, its posts included."""
    design, voxels = designed(seed), built(seed)
    sheets = Sheets(design, voxels, building_steps(design, voxels))
    rows = wall_rows(design)
    assert {(s.level, s.opening, s.look, s.length) for s in design.segments} == {
        (r.storey, r.first.opening, r.look, r.wide) for r in rows
    }
    for row in rows:
        x0, y0, x1, y1 = row.first.cells
        wide = (1, 0) if row.first.axis == "x" else (0, 1)
        here = np.s_[x0 - wide[0] : x1 + wide[0], y0 - wide[1] : y1 + wide[1]]
        forms = voxels.form[here][:, :, row.first.z0 : row.first.z1]
        drawn = front(row.first, voxels, sheets)
        codes = [sheets.code(int(n)) for n in forms.reshape(-1) if n]
        assert sorted(re.findall(r">([A-Z][a-z])</text>", drawn)) == sorted(filter(None, codes))


def test_a_client_cannot_write_into_the_page() -> None:
    from dataclasses import replace

    design = designed(7)
    brief = replace(design.recipe.brief, client="<b>Ann & Bo</b>")
    named = replace(design, recipe=replace(design.recipe, brief=brief))
    text = drawn(told(named, built(7), pictures=False))
    assert "<b>" not in text
    assert "&lt;b&gt;Ann &amp; Bo&lt;/b&gt;" in text


def test_a_page_without_pictures_has_none() -> None:
    text = drawn(told(designed(7), built(7), pictures=False))
    assert "<img" not in text
    assert "Hang the lamps" in text


def test_words_tell_of_every_step() -> None:
    known = facts(designed(7))
    for work in load_tradition("timber").steps:
        assert work.title
        if work.name != "water" or known["water"]:
            assert 50 < len(clauses(work, known)) < 640, work.name


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
    assert (rows["First tie beam"], rows["Second tie beam"]) == ((4,), (6,))


@pytest.mark.parametrize("northwest", [0, 2])
def test_beams_and_floors_lie_in_the_layers_that_are_told(northwest: int) -> None:
    """On level ground and on ground that falls: read from the parts and the rooms."""
    design = design_shell(Recipe(seed=40016, brief=Brief(ground=Ground(northwest=northwest))))
    z = heights(design)
    told = facts(design)["beam layers"]
    ties = {z.above(part.box.z0) for part in design.parts if part.role == "tie"}
    assert isinstance(told, tuple)
    assert ties <= set(told)
    rows = dict(height_rows(design))
    lowest = next(name for name in rows if name.startswith("First free layer of the"))
    floors = {z.above(room.floor) for room in design.rooms if room.indoor and room.level == 1}
    assert set(rows[lowest]) == floors
    assert (len(floors) > 1) == bool(northwest)


def test_windows_are_told_by_what_they_wear() -> None:
    """By hand from the walls: those that look out, and those that do not."""
    known, windows = facts(designed(7)), [s for s in designed(7).segments if s.opening == "window"]
    looks = Counter(s.look for s in windows if s.boundary == "outer")
    assert (known["outward"], known["inward"]) == (looks.total(), len(windows) - looks.total())
    assert known["window looks"] == tuple(f"{numeral(n)} {look}" for look, n in looks.most_common())


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


def test_courses_count_the_roof_and_climb_inward() -> None:
    """By hand on a flat-edged roof: each layer of a slope begins further in than the one below it."""
    design, voxels = designed(7), built(7)
    found = courses(design, voxels)
    roof = design.palette.having("covers")
    cells = sum(p.box.volume for p in design.parts if p.stage == "roof" and p.role in roof)
    assert sum(sum(c.sides) + c.corners + c.others for c in found) == cells
    assert found[0].setback == 0
    assert found[-1].setback > 0
    assert [c.layer for c in found] == sorted(c.layer for c in found)


def test_every_mat_has_one_number() -> None:
    """Whole mats are two cells, and half mats one, however they lie."""
    pieces = [p for p in designed(7).parts if p.stage == "mats"]
    cells = Counter(cell for _, rect in mats(designed(7)) for cell in rect.cells())
    assert set(cells.values()) == {1}
    assert sum(cells.values()) == sum(p.box.volume for p in pieces)
    halves = sum(p.form == "half mat" for p in pieces)
    areas = Counter(rect.area for _, rect in mats(designed(7)))
    assert areas == Counter({2: (len(pieces) - halves) // 2, **({1: halves} if halves else {})})
    assert {rect.width for _, rect in mats(designed(7)) if rect.area == 2} == {1, 2}


def test_what_repeats_stands_below_its_step() -> None:
    steps = building_steps(designed(7), built(7))
    told = even(designed(7), built(7), steps, heights(designed(7)).ground)
    text = html()
    for step, sentences in zip(steps.steps, told, strict=True):
        part = text[text.index(f'id="step-{step.number}"') :].split("</section>")[0]
        assert re.findall(r"<li>(.*)</li>", part) == list(sentences)
