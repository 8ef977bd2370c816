"""The design document, ``house.json``: all that is known of a house but its cells.

Its bytes are a pure function of the design, the voxels and the findings; see the file contract.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from inspect import cleandoc
from typing import Any, get_args

import msgspec
from msgspec.structs import asdict

from genhouse.core.axes import Side
from genhouse.core.learned import learned
from genhouse.model.design import Design
from genhouse.model.digests import digests
from genhouse.model.palette import Palette
from genhouse.model.raster import edited
from genhouse.model.voxels import Voxels
from genhouse.outputs.document._drawn import drawn
from genhouse.outputs.document._room_graph import graph_record, room_graph
from genhouse.outputs.document._tables import (
    FORMAT,
    FRACTION,
    VERSION,
    Bays,
    Digests,
    Finding,
    HouseDocument,
    PaletteRecord,
    RecipeRecord,
    RoomRecord,
    SideRecord,
    TurnRecord,
)
from genhouse.outputs.figures._tables import Figures
from genhouse.outputs.figures.figures import figures
from genhouse.outputs.setting_out import gaps, heights, walls
from genhouse.outputs.storeys import storeys
from genhouse.traditions.lent import text_of

__all__ = [
    "FORMAT",
    "VERSION",
    "Finding",
    "document",
    "laid_out",
    "record",
    "room_graph",
    "schema",
]


def document(
    design: Design, voxels: Voxels, findings: Sequence[Finding | Mapping[str, Any]]
) -> bytes:
    """The document as JSON in UTF-8: a key a line, a list item a line.

    findings: what each check found, as values or as mappings of the same names.
    """
    return laid_out(record(design, voxels, findings))


def record(
    design: Design,
    voxels: Voxels,
    findings: Sequence[Finding | Mapping[str, Any]] = (),
    measured: Figures | None = None,
) -> HouseDocument:
    """The document as a frozen value.  measured: the figures of the house, where they are known."""
    by_stage, whole = digests(voxels)
    x, y, z4 = design.gate
    return HouseDocument(
        format=FORMAT,
        version=VERSION,
        recipe=_recipe(design),
        drawn=drawn(design),
        plot=design.plot,
        outline=design.outline,
        height=design.height,
        gate=(x, y, z4),
        gate_side=design.gate_side,
        turn=TurnRecord(quarters=design.turn.quarters, mirror=design.turn.mirror),
        wings=design.wings,
        courts=design.courts,
        bays=_bays(design),
        heights=heights(design),
        rooms=tuple(RoomRecord(area=room.area, **asdict(room)) for room in design.rooms),
        segments=design.segments,
        stairs=design.stairs,
        graph=graph_record(design),
        covers=design.covers,
        palette=_palette(design.palette),
        parts=design.parts,
        placed=design.placed,
        yards=design.yards,
        cautions=design.cautions,
        fewest_lamps=design.fewest_lamps,
        lit=design.lit,
        metrics=measured or figures(design, voxels),
        checks=tuple(msgspec.convert(f, learned(Finding)) for f in findings),
        edited=edited(design, voxels),
        digests=Digests(stages=by_stage, whole=whole),
    )


def _recipe(design: Design) -> RecipeRecord:
    recipe = design.recipe
    return RecipeRecord(
        seed=recipe.seed,
        brief=recipe.brief,
        tradition=recipe.brief.tradition,
        palette=design.palette.name,
        stage_seeds=dict(recipe.stage_seeds),
        tables=text_of(recipe.brief.tradition) or msgspec.UNSET,
    )


def _bays(design: Design) -> Bays:
    lowest = storeys(design)[0]

    def row(side: Side) -> SideRecord:
        return SideRecord(
            gaps=gaps(design, side, lowest).lengths, walls=walls(design, side).lengths
        )

    return Bays(**{side: row(side) for side in get_args(Side)})


def _palette(palette: Palette) -> PaletteRecord:
    return PaletteRecord(
        name=palette.name,
        materials=palette.materials,
        roles={role: material.name for role, material in palette.roles},
        duties=dict(palette.duties),
    )


def laid_out(value: HouseDocument) -> bytes:
    """Canonical JSON: the fields in their order, free keys sorted, a line for each list item."""
    plain = msgspec.to_builtins(value, order="deterministic", enc_hook=_told)
    lines = (_line(key, item) for key, item in plain.items())
    return b"{\n" + b",\n".join(lines) + b"\n}\n"


def _told(value: Any) -> str:
    """A fraction as one writes it: ``7/2``."""
    if isinstance(value, Fraction):
        return str(value)
    raise NotImplementedError(f"{type(value).__name__} has no place in a document")


def _fraction(kind: type) -> dict[str, Any]:
    if kind is Fraction:
        return {"type": "string", "pattern": f"^{FRACTION}$"}
    raise NotImplementedError(f"{kind.__name__} has no place in a document")


def _line(key: str, item: Any) -> bytes:
    head = msgspec.json.encode(key) + b": "
    if isinstance(item, (list, tuple)) and item and not isinstance(item[0], int):
        rows = b",\n  ".join(map(_encode, item))
        return head + b"[\n  " + rows + b"\n]"
    return head + _encode(item)


def _encode(item: Any) -> bytes:
    return msgspec.json.encode(item, order="deterministic")


def schema() -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) of the document."""
    head = {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "House document",
        "description": "house.json of a house folder; lengths in cells, x east, y north, z up.",
    }
    # Through JSON and back, so that it equals a schema read from a file.
    text = msgspec.json.encode(head | msgspec.json.schema(HouseDocument, schema_hook=_fraction))
    value: dict[str, Any] = msgspec.json.decode(text)
    for table in value["$defs"].values():  # msgspec before 0.23 keeps their indentation
        table["description"] = cleandoc(table["description"])
    return value
