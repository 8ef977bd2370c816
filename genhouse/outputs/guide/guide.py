"""The build guide: one page that works from disk, in the order in which the house is built."""

from __future__ import annotations

import hashlib
import re
from base64 import b64encode
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from importlib.resources import files
from typing import Any

import numpy as np
from msgspec import Struct, structs

from genhouse.core.spoken import some
from genhouse.model.design import Design
from genhouse.model.room import COURTS
from genhouse.model.voxels import Voxels
from genhouse.outputs.details import Detail
from genhouse.outputs.even.told import even
from genhouse.outputs.guide._counts import ALLOWANCE, Called, Counts, Need, as_named
from genhouse.outputs.guide._forms import form_key
from genhouse.outputs.guide._frame import bay_drawing
from genhouse.outputs.guide._fronts import front, seen_from
from genhouse.outputs.guide._mats import mat_plans
from genhouse.outputs.guide._places import cell, place
from genhouse.outputs.guide._roof import courses, roof_key, roof_plan
from genhouse.outputs.guide._rooms import fitting_sheets, room_sheets
from genhouse.outputs.guide._section import sections
from genhouse.outputs.guide._walls import wall_rows
from genhouse.outputs.guide._where import layers, where
from genhouse.outputs.guide._words import facts, height_rows, member_names, side_gaps, wing_rows
from genhouse.outputs.maquette import maquette
from genhouse.outputs.members import Member, members
from genhouse.outputs.setting_out import heights, house_rect, words_of
from genhouse.outputs.setting_out import room_name as room_name_of
from genhouse.outputs.sheets.sheet import Sheets
from genhouse.outputs.step_pictures import View, pieces_in
from genhouse.outputs.steps.reach import ARM, Reach, places, reaches
from genhouse.outputs.steps.steps import Row, Step, Steps
from genhouse.outputs.steps.table import steps_csv
from genhouse.outputs.storeys import storeys
from genhouse.traditions.loader import load_tradition
from genhouse.traditions.words import clause, clauses

CAUTION = (
    "This house is designed for a world of cells. It is not a drawing for building work: nothing "
    "here has been checked for loads, fire, damp or law. Structure, stairs, fire and light are "
    "matters for local codes and licensed practice."
)
LONG = 14
"""Lines that a table has at most beside a picture; longer ones run across the page."""


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


class Picture(Struct, frozen=True, kw_only=True):
    address: str
    words: str


class Page(Struct, frozen=True):
    """A guide whose pictures are still to come: each stands in it by name."""

    text: str

    def whole(self, picture: Callable[[str], bytes]) -> bytes:
        """The page in ASCII, which browsers read much faster than any other letters.

        picture: gives each, PNG or JPEG, by its name.
        """
        text = self.text.encode("ascii", "xmlcharrefreplace").decode()
        return _PICTURE.sub(lambda found: data_address(picture(found[1])), text).encode()


_PICTURE = re.compile(r"picture:([a-z0-9-]+)")
HERO = "hero"


def step_name(view: View) -> str:
    """What the picture of a step is called."""
    return f"step-{view.step}-{view.level}{'-behind' * view.behind}"


def detail_name(detail: Detail) -> str:
    """What the picture of a detail is called."""
    return f"detail-{detail.name}"


def room_name(room: int) -> str:
    """What the picture of a room is called."""
    return f"room-{room}"


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


def guide(told: Told) -> Page:
    """The guide as one HTML document, plans and sheets within it; all but its pictures."""
    design, voxels = told.design, told.voxels
    counts = Counts(voxels, told.steps, told.called)
    reach = reaches(voxels, told.steps)
    rooms = {room: f"picture:{room_name(room)}" for room in told.rooms}
    bay, names = bay_drawing(design)
    walls = wall_rows(design)
    page = rendered(
        "genhouse.outputs.guide",
        "guide.html.j2",
        name=f"House {design.recipe.seed}",
        digest=_digest(told.steps),
        client=design.recipe.brief.client,
        caution=CAUTION,
        clearances=words_of(design).clearances,
        gap_words=words_of(design).gaps,
        bearing=words_of(design).bearing,
        cautions=design.cautions,
        edited=told.edited,
        remarks=told.remarks,
        hero=f"picture:{HERO}" if told.hero else "",
        figures=figures(design, told.steps, reach),
        gaps=side_gaps(design),
        heights=height_rows(design),
        wings=wing_rows(design),
        walls=walls,
        fronts=[
            (row, seen_from(row.first), front(row.first, voxels, told.sheets)) for row in walls
        ],
        steps=tuple(_pages(told, counts, reach)),
        needs=counts.all,
        total=sum(need.count for need in counts.all),
        allowance=ALLOWANCE,
        bundle=told.bundle,
        rooms=room_sheets(design, counts, rooms),
        fittings=fitting_sheets(design, voxels, told.sheets, told.called),
        plans=told.plans,
        definitions=told.sheets.all_definitions,
        sheets=tuple(_sheets(told.sheets)),
        joints=tuple(_details(told, 0)),
        roof=roof_plan(design, voxels, told.sheets),
        roof_key=roof_key(design, voxels, told.sheets),
        courses=courses(design, voxels),
        sections=sections(
            design, voxels, [(name, n) for name, rows in height_rows(design) for n in rows]
        ),
        bay=bay,
        bay_names=names,
        members=tuple(_members(design)),
        mats=mat_plans(design),
        forms=form_key(voxels, told.sheets),
        model=maquette.in_page(model(design, voxels, told.steps, told.sheets, told.called)),
        model_script=maquette.script(),
        model_style=maquette.style(),
        long=LONG,
        arm=ARM,
    )
    return Page(page.decode())


def model(
    design: Design, voxels: Voxels, steps: Steps, sheets: Sheets, called: Called = as_named
) -> maquette.Data:
    """The house as a model that turns."""
    titles = step_titles(design)
    return maquette.data_of(
        voxels,
        steps,
        titles=[titles[step.name] for step in steps.steps],
        levels=[sheets.title(z) for z in range(voxels.size[2])],
        ground=sheets.ground,
        rooms={room.id: f"{room.id}, {room_name_of(design, room)}" for room in design.rooms},
        called=called,
    )


def step_titles(design: Design) -> dict[str, str]:
    """What each step is called, by its name."""
    known = facts(design)
    works = load_tradition(design.recipe.brief.tradition).steps
    return {work.name: clause(work.title, known) for work in works}


def _members(design: Design) -> Iterator[Member]:
    """The schedule of members, in the tradition's words."""
    names = {role.replace("-", " "): name for role, name in member_names(design).items()}
    for member in members(design):
        yield structs.replace(member, member=names.get(member.member, member.member))


def _sheets(sheets: Sheets) -> Iterator[tuple[int, str, tuple[str, ...]]]:
    """Each level: z, what it is called, and its drawing, in parts where it is large."""
    return ((z, sheets.title(z), parts) for z, parts in sheets.parts.items())


def rendered(package: str, template: str, **values: Any) -> bytes:
    """A page in UTF-8 from a template beside some code."""
    from jinja2 import Environment, FunctionLoader, StrictUndefined

    def beside(name: str) -> str:
        return (files(package) / name).read_text("utf-8")

    page = Environment(
        loader=FunctionLoader(beside),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    ).get_template(template)
    return page.render(**values).encode()


def data_address(picture: bytes) -> str:
    """A PNG or JPEG picture as an address that needs no network; empty for no picture."""
    kind = "png" if picture.startswith(b"\x89PNG") else "jpeg"
    return f"data:image/{kind};base64,{b64encode(picture).decode()}" if picture else ""


def _digest(steps: Steps) -> str:
    """What a house is remembered by where its steps are ticked off: the order in which it is built."""
    return hashlib.sha256(steps_csv(steps)).hexdigest()[:16]


def figures(design: Design, steps: Steps, reach: Sequence[Reach]) -> tuple[tuple[str, str], ...]:
    """The house in numbers."""
    house, z = house_rect(design), heights(design)
    indoor = [r for r in design.rooms if r.indoor]
    courts = [r for r in design.rooms if r.kind in COURTS]
    pieces = sum(step.pieces for step in steps.steps)
    return (
        ("Plot", f"{design.plot[0]} × {design.plot[1]} cells{_corners(design)}"),
        ("House, over the walls", f"{house.width} × {house.depth} cells"),
        ("Height, ground to ridge", f"{z.above(z.ridge)} cells"),
        ("Gate", f"from the {design.gate_side}"),
        ("Rooms", f"{len(indoor)} on {some(len(storeys(design)), 'storey')}"),
        ("Clear floor", f"{sum(r.area for r in indoor)} cells"),
        (
            "Court" if len(courts) == 1 else "Courts",
            " and ".join(f"{c.area} cells" for c in courts),
        ),
        *([("Yards", _yards(design))] if design.yards else []),
        ("Palette", design.palette.name),
        ("Pieces", _spaced(pieces)),
        ("Steps", f"{len(steps.steps)}, in {_spaced(len(steps.rows))} runs of equal pieces"),
        ("Temporary supports", str(steps.propped or "none")),
        ("Trestles to stand on", _trestles(reach)),
    )


def _spaced(n: int) -> str:
    """
    >>> _spaced(12040)
    '12 040'
    """
    return f"{n:,}".replace(",", " ")


def _trestles(reach: Sequence[Reach]) -> str:
    """In how many places they are set up, and what is out of reach nevertheless."""
    beyond = sum(one.beyond for one in reach)
    left = f"; {some(beyond, 'piece')} out of reach" if beyond else ""
    count, most = places(reach), max(len(one.trestles) for one in reach)
    if count < 2:
        return ("in one place" if count else "none") + left
    return f"in {count} places, {most} at most in one step{left}"


def _corners(design: Design) -> str:
    return f", {len(design.outline)} corners" if design.outline else ""


def _yards(design: Design) -> str:
    """What they are for, and how large."""
    return ", ".join(f"{yard.use} {yard.area}" for yard in design.yards) + " cells"


def _pages(told: Told, counts: Counts, reach: Sequence[Reach]) -> Iterator[StepPage]:
    works = {w.name: w for w in load_tradition(told.design.recipe.brief.tradition).steps}
    known, titles = facts(told.design), step_titles(told.design)
    ground = told.sheets.ground
    sentences = where(told.steps, reach, ground)
    repeats = even(told.design, told.voxels, told.steps, ground)
    for step, lines, again in zip(told.steps.steps, sentences, repeats, strict=True):
        rows = told.steps.rows_of(step)
        yield StepPage(
            step=step,
            title=titles[step.name],
            say=clauses(works[step.name], known),
            pictures=tuple(_pictures(told, step, titles[step.name], rows)),
            details=tuple(_details(told, step.number)),
            needs=counts.step(step.number),
            where=lines,
            levels=tuple(np.flatnonzero((told.steps.of == step.number).any(axis=(0, 1))).tolist()),
            even=again,
        )


def _details(told: Told, step: int) -> Iterator[Picture]:
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
