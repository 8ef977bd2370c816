"""The build guide: one page that works from disk, in the order in which the house is built."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Callable, Iterator

from msgspec import Struct, structs

from genhouse.model.design import Design
from genhouse.model.voxels import Voxels
from genhouse.outputs.guide._counts import ALLOWANCE, Called, Counts, as_named
from genhouse.outputs.guide._forms import form_key
from genhouse.outputs.guide._frame import bay_drawing
from genhouse.outputs.guide._fronts import front, seen_from
from genhouse.outputs.guide._mats import mat_plans
from genhouse.outputs.guide._roof import courses, roof_key, roof_plan
from genhouse.outputs.guide._rooms import fitting_sheets, room_sheets
from genhouse.outputs.guide._section import sections
from genhouse.outputs.guide._walls import wall_rows
from genhouse.outputs.guide._words import height_rows, member_names, side_gaps, wing_rows
from genhouse.outputs.guide.figures import figures
from genhouse.outputs.guide.steps import details_of, step_pages, step_titles
from genhouse.outputs.guide.told import HERO, Told, room_name
from genhouse.outputs.maquette import maquette
from genhouse.outputs.members import Member, members
from genhouse.outputs.pages import data_address, rendered
from genhouse.outputs.setting_out import room_name as room_name_of
from genhouse.outputs.setting_out import words_of
from genhouse.outputs.sheets.sheet import Sheets
from genhouse.outputs.steps.reach import ARM, reaches
from genhouse.outputs.steps.steps import Steps
from genhouse.outputs.steps.table import steps_csv

CAUTION = (
    "This house is designed for a world of cells. It is not a drawing for building work: nothing "
    "here has been checked for loads, fire, damp or law. Structure, stairs, fire and light are "
    "matters for local codes and licensed practice."
)
LONG = 14
"""Lines that a table has at most beside a picture; longer ones run across the page."""


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
        steps=tuple(step_pages(told, counts, reach)),
        needs=counts.all,
        total=sum(need.count for need in counts.all),
        allowance=ALLOWANCE,
        bundle=told.bundle,
        rooms=room_sheets(design, counts, rooms),
        fittings=fitting_sheets(design, voxels, told.sheets, told.called),
        plans=told.plans,
        definitions=told.sheets.all_definitions,
        sheets=tuple(_sheets(told.sheets)),
        joints=tuple(details_of(told, 0)),
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
        first=told.sheets.ground,
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


def _members(design: Design) -> Iterator[Member]:
    """The schedule of members, in the tradition's words."""
    names = {role.replace("-", " "): name for role, name in member_names(design).items()}
    for member in members(design):
        yield structs.replace(member, member=names.get(member.member, member.member))


def _sheets(sheets: Sheets) -> Iterator[tuple[int, str, tuple[str, ...]]]:
    """Each level: z, what it is called, and its drawing, in parts where it is large."""
    return ((z, sheets.title(z), parts) for z, parts in sheets.parts.items())


def _digest(steps: Steps) -> str:
    """What a house is remembered by where its steps are ticked off: the order in which it is built."""
    return hashlib.sha256(steps_csv(steps)).hexdigest()[:16]
