"""The design document, ``house.json``: all that is known of a house but its cells.

Its bytes are a pure function of the design, the voxels and the findings; see the file contract.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any, Literal, TypeVar, get_args

import msgspec

from genhouse.core.axes import Side
from genhouse.core.errors import UnreadableError
from genhouse.core.learned import learned
from genhouse.model.brief import STAGE_NAMES, Brief, Recipe
from genhouse.model.design import Design
from genhouse.model.voxels import Voxels
from genhouse.outputs.document._digests import digests
from genhouse.outputs.document._room_graph import graph_record, room_graph
from genhouse.outputs.document._tables import (
    FORMAT,
    VERSION,
    Bays,
    Digests,
    Finding,
    HouseDocument,
    PartRecord,
    PlacedRecord,
    RecipeRecord,
    RoomRecord,
    SideRecord,
)
from genhouse.outputs.figures._tables import Figures
from genhouse.outputs.figures.figures import figures
from genhouse.outputs.setting_out import gaps, heights, walls

__all__ = [
    "FORMAT",
    "VERSION",
    "Finding",
    "Saved",
    "document",
    "read_recipe",
    "read_saved",
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
    design: Design, voxels: Voxels, findings: Sequence[Finding | Mapping[str, Any]] = ()
) -> HouseDocument:
    """The document as a frozen value."""
    by_stage, whole = digests(voxels)
    x, y, z4 = design.gate
    return HouseDocument(
        format=FORMAT,
        version=VERSION,
        recipe=_recipe(design),
        plot=design.plot,
        height=design.height,
        gate=(x, y, z4),
        gate_side=design.gate_side,
        wings=design.wings,
        courts=design.courts,
        bays=_bays(design),
        heights=heights(design),
        rooms=tuple(_room(design, n) for n in range(len(design.rooms))),
        graph=graph_record(design),
        parts=tuple(
            PartRecord(stage=p.stage, role=p.role, form=p.form, box=p.box) for p in design.parts
        ),
        placed=tuple(
            PlacedRecord(
                name=p.name,
                room=p.room,
                cells=p.cells,
                floor=p.floor,
                facing=p.facing,
                use=p.use,
            )
            for p in design.placed
        ),
        metrics=figures(design, voxels),
        checks=tuple(msgspec.convert(f, learned(Finding)) for f in findings),
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
    )


def _bays(design: Design) -> Bays:
    def row(side: Side) -> SideRecord:
        return SideRecord(gaps=gaps(design, side).lengths, walls=walls(design, side).lengths)

    return Bays(**{side: row(side) for side in get_args(Side)})


def _room(design: Design, n: int) -> RoomRecord:
    room = design.rooms[n]
    return RoomRecord(
        id=room.id,
        kind=room.kind,
        level=room.level,
        area=room.area,
        rects=room.rects,
        sunken=room.sunken,
        floor=room.floor,
        ceiling=None if room.to_roof else room.ceiling,
        indoor=room.indoor,
        walkable=room.walkable,
    )


def laid_out(value: HouseDocument) -> bytes:
    """Canonical JSON: the fields in their order, free keys sorted, a line for each list item."""
    plain = msgspec.to_builtins(value, order="deterministic")
    lines = (_line(key, item) for key, item in plain.items())
    return b"{\n" + b",\n".join(lines) + b"\n}\n"


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
    text = msgspec.json.encode(head | msgspec.json.schema(HouseDocument))
    value: dict[str, Any] = msgspec.json.decode(text)
    return value


class _Head(msgspec.Struct, frozen=True):
    format: Literal["genhouse-house"]
    version: int


class _RecipeOnly(_Head, frozen=True):
    recipe: RecipeRecord


class Saved(_RecipeOnly, frozen=True):
    """What a saved house says of itself, without its parts."""

    plot: tuple[int, int]
    gate_side: Side
    metrics: Figures
    digests: Digests


Table = TypeVar("Table", bound=_RecipeOnly)


def read_recipe(path: Path) -> Recipe:
    """The recipe of a saved house; path: its folder or its document.

    Raises UnreadableError where there is none.
    """
    file, found = _read(path, _RecipeOnly)
    return _checked(file, found.recipe)


def read_saved(path: Path) -> Saved:
    """Figures and digests of a saved house; path: its folder or its document.

    Raises UnreadableError where there are none.
    """
    return _read(path, Saved)[1]


def _read(path: Path, kind: type[Table]) -> tuple[Path, Table]:
    path = Path(path)
    file = path / "house.json" if path.is_dir() else path
    try:
        contents = file.read_bytes()
        head = msgspec.json.decode(contents, type=learned(_Head))
        if head.version > VERSION:
            raise UnreadableError(
                f"{file} has version {head.version} of the format; this program reads {VERSION}"
            )
        return file, msgspec.json.decode(contents, type=learned(kind))
    except OSError as error:
        raise UnreadableError(f"{file} cannot be read: {(error.strerror or '').lower()}") from error
    except (msgspec.DecodeError, UnicodeDecodeError) as error:
        raise UnreadableError(f"{file} is no house document: {error}") from error


def _checked(file: Path, found: RecipeRecord) -> Recipe:
    if max(found.seed, *found.stage_seeds.values(), 0) >> 64:
        raise UnreadableError(f"{file} has a seed of more than 64 bits")
    unknown = sorted(set(found.stage_seeds) - set(STAGE_NAMES))
    if unknown:
        raise UnreadableError(f"{file} names a stage that there is not: {unknown[0]}")
    brief: Brief = found.brief
    return Recipe(
        seed=found.seed, brief=brief, stage_seeds=tuple(sorted(found.stage_seeds.items()))
    )
