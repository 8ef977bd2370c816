"""The build guide: one page that works from disk, in the order in which the house is built."""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from importlib.resources import files
from types import MappingProxyType
from typing import Any

from genhouse.model.design import Design
from genhouse.model.part import STAGES
from genhouse.model.room import COURTS
from genhouse.outputs.bill import Line
from genhouse.outputs.guide._words import (
    advice,
    height_rows,
    side_gaps,
    title,
    wing_rows,
    words_of,
)
from genhouse.outputs.setting_out import clear_size, heights, house_rect, room_name
from genhouse.outputs.storeys import Storey, storeys

CAUTION = (
    "This house is designed for a world of cells. It is not a drawing for building work: nothing "
    "here has been checked for loads, fire, damp or law. Structure, stairs, fire and light are "
    "matters for local codes and licensed practice."
)
LONG = 14
"""Lines that a table has at most beside a picture; longer ones run across the page."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One stage as the page shows it.

    picture: a data address, empty where there is none.  alone: the same of storeys by themselves, by
    the name of each.
    """

    number: int
    stage: str
    title: str
    advice: str
    picture: str
    alone: tuple[tuple[str, str], ...]
    lines: tuple[Line, ...]

    @property
    def rows(self) -> tuple[tuple[str, str, int], ...]:
        """Material, piece and count of each line."""
        return tuple((line.material, line.piece, line.count) for line in self.lines)

    @property
    def total(self) -> int:
        return sum(line.count for line in self.lines)


def guide(
    design: Design,
    bill_lines: Sequence[Line],
    stage_pictures: Mapping[str, bytes],
    hero: bytes,
    plans: Sequence[str],
    alone: Mapping[tuple[str, int], bytes] = MappingProxyType({}),
    edited: Sequence[str] = (),
) -> bytes:
    """The guide as one HTML document in UTF-8, pictures and plans within it.

    stage_pictures: PNG or JPEG by name of stage; alone: the same of a storey alone, by stage and level.
    hero: of the whole.  plans: SVG, from below.  edited: what of the cells was changed by hand.
    """
    return rendered(
        "genhouse.outputs.guide",
        "guide.html.j2",
        name=f"House {design.recipe.seed}",
        client=design.recipe.brief.client,
        caution=CAUTION,
        words=words_of(design),
        cautions=design.cautions,
        edited=edited,
        hero=data_address(hero),
        figures=figures(design, bill_lines),
        gaps=side_gaps(design),
        heights=height_rows(design),
        wings=wing_rows(design),
        steps=steps(design, bill_lines, stage_pictures, alone),
        totals=totals(bill_lines),
        total=sum(line.count for line in bill_lines),
        storeys=[(storey.level, _rooms(storey)) for storey in storeys(design)],
        plans=plans,
        long=LONG,
    )


def rendered(package: str, template: str, **values: Any) -> bytes:
    """A page in UTF-8 from a template beside some code."""
    from jinja2 import Environment, StrictUndefined

    text = (files(package) / template).read_text("utf-8")
    page = Environment(
        autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True
    ).from_string(text)
    return page.render(**values).encode()


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
        ("Rooms", f"{len(indoor)} on {len(storeys(design))} storeys"),
        ("Clear floor", f"{sum(r.area for r in indoor)} cells"),
        (
            "Court" if len(courts) == 1 else "Courts",
            " and ".join(f"{c.area} cells" for c in courts),
        ),
        ("Palette", design.palette.name),
        ("Pieces", f"{sum(line.count for line in lines):,}".replace(",", " ")),
    )


def steps(
    design: Design,
    lines: Sequence[Line],
    pictures: Mapping[str, bytes],
    alone: Mapping[tuple[str, int], bytes],
) -> tuple[Step, ...]:
    """The building stages in order."""
    return tuple(
        Step(
            number=n,
            stage=stage,
            title=title(design, stage),
            advice=advice(design, stage),
            picture=data_address(pictures.get(stage, b"")),
            alone=tuple(
                (storey.name.lower(), data_address(alone[stage, storey.level]))
                for storey in storeys(design)
                if (stage, storey.level) in alone
            ),
            lines=tuple(line for line in lines if line.stage == stage),
        )
        for n, stage in enumerate(STAGES, 1)
    )


def totals(lines: Iterable[Line]) -> tuple[tuple[str, str, int], ...]:
    """Material, piece and count over all stages, sorted by name."""
    found: dict[tuple[str, str], int] = {}
    for line in lines:
        key = (line.material, line.piece)
        found[key] = found.get(key, 0) + line.count
    return tuple((material, piece, count) for (material, piece), count in sorted(found.items()))


def _rooms(storey: Storey) -> tuple[tuple[int, str, str, int], ...]:
    """Number, name, clear size and area."""
    return tuple((r.id, room_name(r), clear_size(r), r.area) for r in storey.rooms)
