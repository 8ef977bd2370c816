"""Reading ``house.json``: the design of a saved house, its recipe, and what it says of itself."""

from __future__ import annotations

import os
import re
from collections.abc import Iterator
from fractions import Fraction
from math import prod
from pathlib import Path
from types import SimpleNamespace
from typing import Any, Literal

import msgspec

from genhouse.core.axes import Turn
from genhouse.core.box import Rect
from genhouse.core.errors import UnreadableError, VersionError
from genhouse.core.reading import DOCUMENT, as_record, json_value, read_bytes, said
from genhouse.core.region import amiss, bounded, rectangle
from genhouse.core.sentences import quoted
from genhouse.model.bounds import MOST_CORNERS
from genhouse.model.brief import STAGE_NAMES, Recipe
from genhouse.model.design import Design
from genhouse.model.laid import Laid
from genhouse.model.palette import Palette
from genhouse.model.part import STAGES, all_turned
from genhouse.model.raster import raster
from genhouse.model.record import Record
from genhouse.model.room import OUTSIDE, Room
from genhouse.outputs.document._tables import (
    FRACTION,
    VERSION,
    HouseDocument,
    RecipeRecord,
    RoomRecord,
)
from genhouse.traditions.lent import lend
from genhouse.traditions.loader import load_tradition

LARGEST = 256
"""Cells along any side of a house that is read: no tradition builds half of that."""


class _Head(msgspec.Struct, frozen=True):
    format: Literal["genhouse-house"]
    version: int


def read_saved(path: Path) -> HouseDocument:
    """What a saved house says of itself; path: its folder or its document.

    Raises UnreadableError where there is none, and VersionError for another version of the format.
    """
    file = _file(path)
    contents = read_bytes(file, DOCUMENT)
    try:
        value = json_value(contents)
        version = as_record(value, _Head).version
        if version != VERSION:
            raise VersionError(
                f"{said(file)} was written in version {version} of the format, and this genhouse reads "
                f"version {VERSION}: its figures and cells can be shown, but its design is not read"
            )
        return as_record(value, HouseDocument, _fraction)
    except VersionError:
        raise
    except UnreadableError as error:
        raise UnreadableError(f"{said(file)} is no house document: {error}") from error


def read_recipe(path: Path) -> Recipe:
    """The recipe of a saved house.  Raises as ``read_saved`` does."""
    return _recipe(path, read_saved(path).recipe)


def read_design(path: Path) -> Design:
    """The design of a saved house, as it was saved.

    Raises as ``read_saved`` does, and UnreadableError where what it says does not go together.
    """
    return design_of(path, read_saved(path))


def record_of(saved: HouseDocument, design: Design) -> Record:
    """What its cells are held to: those that its parts set, and what was said of them."""
    kept = saved.digests
    return Record(told=raster(design), stages=kept.stages, whole=kept.whole, edited=saved.edited)


def read_told(path: Path) -> tuple[Any, str]:
    """What a saved house says of itself, and a sentence where that is in another version of the format.

    Then it is given with the attributes of a document as far as it has them, and unchecked.
    Raises UnreadableError where there is nothing.
    """
    try:
        return read_saved(path), ""
    except VersionError as error:
        return _loose(json_value(read_bytes(_file(path), DOCUMENT))), str(error)


def _loose(value: Any) -> Any:
    """Plain JSON, its keys as attributes."""
    match value:
        case dict():
            return SimpleNamespace(**{name: _loose(item) for name, item in value.items()})
        case list():
            return [_loose(item) for item in value]
    return value


def design_of(path: Path, kept: HouseDocument) -> Design:
    """The design in a document.  path: where it was read.  Raises UnreadableError."""
    recipe = _recipe(path, kept.recipe)
    try:
        for wrong in _wrong(kept):
            raise ValueError(wrong)
        return _design(kept, recipe)
    except ValueError as error:
        raise UnreadableError(f"{said(_file(path))} is no house: {error}") from error


AS_THEY_ARE = (
    "gate_side", "gate", "wings", "courts", "segments", "stairs", "placed", "covers",
    "fewest_lamps", "lit", "cautions", "outline", "yards",
)  # fmt: skip
"""What a design and its document have alike."""


def _design(kept: HouseDocument, recipe: Recipe) -> Design:
    turn = _turn(kept)
    parts = all_turned(kept.parts, turn.inverse)
    material = {m.name: m for m in kept.palette.materials}
    roles = tuple(sorted((role, material[name]) for role, name in kept.palette.roles.items()))
    return Design(
        recipe=recipe,
        palette=Palette(
            name=kept.palette.name, roles=roles, duties=tuple(sorted(kept.palette.duties.items()))
        ),
        rooms=tuple(_room(room) for room in kept.rooms),
        laid=Laid.of(parts, (turn.width, turn.depth, kept.height)),
        turn=turn,
        eaves=kept.heights.eaves,
        gardens=kept.drawn.gardens,
        swept=kept.drawn.roof.swept,
        dormers=kept.drawn.roof.dormers,
        arrangement=kept.drawn.arrangement,
        **{name: getattr(kept, name) for name in AS_THEY_ARE},
    )


def _turn(kept: HouseDocument) -> Turn:
    quarters, mirror = kept.turn.quarters, kept.turn.mirror
    return Turn(*Turn(*kept.plot, quarters).size, quarters, mirror)


def _room(found: RoomRecord) -> Room:
    return Room(**{name: getattr(found, name) for name in Room.__struct_fields__})


def _wrong(kept: HouseDocument) -> Iterator[str]:
    """What does not go together."""
    size = (*kept.plot, kept.height)
    if not all(0 < length <= LARGEST for length in size):
        yield f"no house measures {' x '.join(map(str, size))} cells"
    volumes = [p.box.volume for p in kept.parts]
    if min(volumes, default=1) < 1 or sum(volumes) > prod(size):
        yield "its parts do not fill what they say"
    for part in kept.parts:
        if part.stage not in STAGES:
            yield f"there is no building stage {part.stage!r}"
        if part.role not in kept.palette.roles:
            yield f"its palette has nothing for the role {part.role!r}"
    if not set(kept.palette.roles.values()) <= {m.name for m in kept.palette.materials}:
        yield "its palette names a material that it does not have"
    yield from _off_plot(kept)
    ids = [room.id for room in kept.rooms]
    known = {OUTSIDE, *ids}
    if len(known) != len(ids) + 1:
        yield "its room ids are not unique"
    named = {n for s in kept.segments for n in (s.low, s.high)}
    if not named | {p.room for p in kept.placed} | {stair.room for stair in kept.stairs} <= known:
        yield "it names a room that it does not have"
    if not (kept.rooms and kept.courts and kept.covers and all(r.rects for r in kept.rooms)):
        yield "it has no rooms, no court or no roof"


def _off_plot(kept: HouseDocument) -> Iterator[str]:
    """What lies off its plot, or is no plot."""
    if len(kept.outline) > MOST_CORNERS:
        yield f"its outline has more than {MOST_CORNERS} corners"
        return
    if kept.outline and (words := amiss(kept.outline)):
        yield f"its outline is none: {words}"
        return
    plot = bounded(kept.outline) if kept.outline else rectangle(kept.plot)
    if plot.bounds != Rect(0, 0, *kept.plot):
        yield f"its outline does not measure {' x '.join(map(str, kept.plot))} cells"
    for rect in _rects(kept):
        if min(rect.width, rect.depth) < 1 or not plot.holds(rect):
            yield f"{list(rect)} is no rectangle on its plot"


def _rects(kept: HouseDocument) -> Iterator[Rect]:
    """Every rectangle of the plan."""
    yield from (*kept.wings, *kept.courts, *(cover.rect for cover in kept.covers))
    for room in kept.rooms:
        yield from (*room.rects, *room.sunken)
    for segment in kept.segments:
        yield segment.cells
        yield from (segment.way,) if segment.way else ()
    yield from (placed.cells for placed in kept.placed)
    for stair in kept.stairs:
        yield from (*stair.run, stair.well)


def _file(path: Path) -> Path:
    path = Path(path)
    return path / "house.json" if os.path.isdir(path) else path  # noqa: PTH112 - of any name


def _fraction(kind: type, value: Any) -> Any:
    if kind is Fraction and isinstance(value, str) and re.fullmatch(FRACTION, value, re.ASCII):
        return Fraction(value)
    raise ValueError(f"expected `{kind.__name__}`")


def _lend(tables: str, name: str, file: Path) -> None:
    """Put the tables of a house's tradition on the shelf.  Raises UnreadableError."""
    value = json_value(tables.encode())
    called = name.rpartition("-")[0]
    if not isinstance(value, dict) or lend(value, called) != name:
        raise UnreadableError(f"{said(file)} has tables of another tradition than its own")
    load_tradition(name)


def _recipe(path: Path, found: RecipeRecord) -> Recipe:
    file = _file(path)
    if max(found.seed, *found.stage_seeds.values(), 0) >> 64:
        raise UnreadableError(f"{said(file)} has a seed of more than 64 bits")
    unknown = sorted(set(found.stage_seeds) - set(STAGE_NAMES))
    if unknown:
        raise UnreadableError(f"{said(file)} names a stage that there is not: {quoted(unknown[0])}")
    if found.tables is not msgspec.UNSET:
        _lend(found.tables, found.brief.tradition, file)
    return Recipe(
        seed=found.seed, brief=found.brief, stage_seeds=tuple(sorted(found.stage_seeds.items()))
    )
