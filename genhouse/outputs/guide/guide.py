"""The build guide: one page that works from disk, in the order in which the house is built."""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Iterable, Mapping, Sequence
from html import escape

from genhouse.model.design import Design
from genhouse.model.part import STAGES
from genhouse.model.room import COURTS
from genhouse.outputs.bill import Line
from genhouse.outputs.guide import _page as page
from genhouse.outputs.guide._words import TITLES, advice, height_rows, side_gaps
from genhouse.outputs.setting_out import (
    clear_size,
    heights,
    house_rect,
    levels,
    on_level,
    room_name,
)

CAUTION = (
    "This house is designed for a world of cells. It is not a drawing for building work: nothing "
    "here has been checked for loads, fire, damp or law. Structure, stairs, fire and light are "
    "matters for local codes and licensed practice."
)
CLEARANCES = "How far a hearth and its flue must keep from timber is for local codes to say."

GAPS: page.Columns = (
    ("Side", page.ROW),
    ("Gaps, from west to east or south to north", page.GAPS),
    ("Over all", page.NUMBER),
)
LAYERS: page.Columns = (("What lies there", page.ROW), ("Layer", page.NUMBER))
ROOMS: page.Columns = (
    ("No.", page.NUMBER),
    ("Room", page.ROW),
    ("Clear size", ""),
    ("Cells", page.NUMBER),
)
"""Columns of the page's tables."""


def guide(
    design: Design,
    bill_lines: Sequence[Line],
    stage_pictures: Mapping[str, bytes],
    hero: bytes,
    plans: Sequence[str],
) -> bytes:
    """The guide as one HTML document in UTF-8, pictures and plans within it.

    stage_pictures: PNG or JPEG by name of stage; hero: of the whole; plans: SVG, from below.
    """
    storeys = levels(design)
    return page.whole(
        name=f"House {design.recipe.seed}",
        client=escape(f" for {client}" if (client := design.recipe.brief.client) else ""),
        caution=CAUTION,
        clearances=CLEARANCES,
        cautions=page.cautions(design.cautions),
        hero=page.figure(
            data_address(hero),
            "The finished house, seen from outside and above.",
            caption="The finished house.",
        ),
        figures=page.terms(figures(design, bill_lines)),
        gaps=page.table("Clear gaps along each side", GAPS, side_gaps(design)),
        heights=page.table("Layers, counted up from the ground", LAYERS, height_rows(design)),
        plans="".join(page.plan(drawing, n, len(plans)) for n, drawing in enumerate(plans, 1)),
        stages="".join(
            stage(design, n, bill_lines, data_address(stage_pictures.get(name, b"")))
            for n, name in enumerate(STAGES, 1)
        ),
        bill=_counted("All stages together", totals(bill_lines)),
        rooms="".join(
            page.table(f"Storey {level}", ROOMS, _rooms(design, level)) for level in storeys
        ),
    ).encode()


def data_address(picture: bytes) -> str:
    """A PNG or JPEG picture as an address that needs no network; empty for no picture."""
    kind = "png" if picture.startswith(b"\x89PNG") else "jpeg"
    return f"data:image/{kind};base64,{b64encode(picture).decode()}" if picture else ""


def figures(design: Design, lines: Iterable[Line]) -> tuple[tuple[str, str], ...]:
    """The house in numbers."""
    house, z = house_rect(design), heights(design)
    indoor = [r for r in design.rooms if r.indoor]
    courts = [r for r in design.rooms if r.kind in COURTS]
    return (
        ("Plot", f"{design.plot[0]} × {design.plot[1]} cells"),
        ("House, over the walls", f"{house.width} × {house.depth} cells"),
        ("Height, ground to ridge", f"{z.above(z.ridge)} cells"),
        ("Gate", f"from the {design.gate_side}"),
        ("Rooms", f"{len(indoor)} on {len(levels(design))} storeys"),
        ("Clear floor", f"{sum(r.area for r in indoor)} cells"),
        (
            "Court" if len(courts) == 1 else "Courts",
            " and ".join(f"{c.area} cells" for c in courts),
        ),
        ("Palette", design.palette.name),
        ("Pieces", f"{sum(line.count for line in lines):,}".replace(",", " ")),
    )


def stage(design: Design, number: int, lines: Iterable[Line], picture: str) -> str:
    """What to do at one building stage, and what for.  picture: a data address, empty for none."""
    name = STAGES[number - 1]
    rows = [(line.material, line.piece, line.count) for line in lines if line.stage == name]
    bill = _counted("For this stage", rows)
    return page.stage(name, f"{number}. {TITLES[name]}", advice(design, name), picture, bill)


def _counted(caption: str, rows: Sequence[tuple[str, str, int]]) -> str:
    """A table of materials, pieces and counts."""
    return page.table(caption, page.COUNTED, rows, sum(count for *_, count in rows))


def totals(lines: Iterable[Line]) -> tuple[tuple[str, str, int], ...]:
    """Material, piece and count over all stages, sorted by name."""
    found: dict[tuple[str, str], int] = {}
    for line in lines:
        key = (line.material, line.piece)
        found[key] = found.get(key, 0) + line.count
    return tuple((material, piece, count) for (material, piece), count in sorted(found.items()))


def _rooms(design: Design, level: int) -> tuple[tuple[int, str, str, int], ...]:
    """Number, name, clear size and area."""
    rows = []
    for room in on_level(design, level):
        rows.append((room.id, room_name(room), clear_size(room), room.area))
    return tuple(rows)
