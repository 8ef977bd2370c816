"""house.npz: a house as plain arrays, written the same to the byte and read back with suspicion."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any, TypeVar
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

import msgspec
import numpy as np
import numpy.typing as npt

from genhouse.core.errors import UnreadableError
from genhouse.core.forms import SUB
from genhouse.core.npz import Kind, read_arrays
from genhouse.core.reading import ARRAYS, as_record, first_line, json_value, read_bytes, said
from genhouse.core.sentences import quoted, unsaid
from genhouse.model.voxels import About, Voxels

FORMAT, VERSION = "genhouse-voxels", 2
CELLS: dict[str, npt.DTypeLike] = {
    "material": np.uint8,
    "form": np.uint16,
    "stage": np.uint8,
    "room": np.uint16,
}
"""The arrays [X, Y, Z] and what they hold."""
FORM_OF: dict[int, npt.DTypeLike] = {1: np.uint8, VERSION: np.uint16}
"""What each version of the format that can be read holds forms in."""

MOST_CELLS = 1 << 18
"""Cells of a house that is read: four times those of the largest plot under its highest roof."""
LONGEST_SIDE = 1 << 12
"""Cells along any of its axes."""
MOST_SHAPES, MOST_TEXT = 1 << 20, 1 << 22
"""Bytes of its shapes, and of its record."""
LONGEST_NAME = 100
MOST_LUMENS = 100_000
"""Of one piece that gives light: a street lamp gives a tenth of it (common practice)."""

UNIX = 3
Arrays = dict[str, npt.NDArray[Any]]
T = TypeVar("T")


class Header(msgspec.Struct):
    """What every version of the format begins with."""

    format: str
    version: int


def voxels_bytes(voxels: Voxels) -> bytes:
    """The file.  Equal voxels give equal bytes, however their arrays lie in memory."""
    text = about_json(voxels.about)
    arrays: Arrays = {
        **{name: getattr(voxels, name) for name in CELLS},
        "shapes": voxels.shapes,
        "about": np.array(text),
    }
    out = io.BytesIO()
    with ZipFile(out, "w") as archive:
        for name, array in arrays.items():
            archive.writestr(_member(name), _npy(array))
    return out.getvalue()


def about_json(about: About) -> str:
    """The ``about`` record; flags of a material that are off, no light, no own name, no
    neighbours and that a room does not stand open are left out."""
    record = msgspec.to_builtins(about)
    record["materials"] = [
        {name: value for name, value in material.items() if value not in (False, 0, "")}
        for material in record["materials"]
    ]
    for room in record["rooms"]:
        if not room["open"]:
            del room["open"]
    if not about.party:
        del record["party"]
    return msgspec.json.encode(record).decode()


def read_voxels(path: Path | str) -> Voxels:
    """Read a file back.  Raises UnreadableError, in one sentence, where it is no whole house."""
    data = read_bytes(Path(path), ARRAYS)
    try:
        return parse_voxels(data)
    except UnreadableError as error:
        raise UnreadableError(f"{said(Path(path))} is no house: {error}") from error


def parse_voxels(data: bytes) -> Voxels:
    """The house in a file's bytes, as this version has it.  Raises UnreadableError where they hold none."""
    about = _about(read_arrays(data, {"about": Kind(np.str_, MOST_TEXT)})["about"])
    arrays = _arrays(data, about.version)
    arrays["form"] = arrays["form"].astype(np.uint16, copy=False)
    _check_cells(arrays)
    _check_tables(arrays, about)
    _check_rooms(arrays["room"], about)
    for array in arrays.values():
        array.flags.writeable = False
    return Voxels(**arrays, about=replace(about, version=VERSION))


def _member(name: str) -> ZipInfo:
    info = ZipInfo(f"{name}.npy")  # dated 1980-01-01
    info.create_system = UNIX  # or it would name the platform
    info.compress_type = ZIP_DEFLATED
    return info


def _npy(array: npt.NDArray[Any]) -> bytes:
    out = io.BytesIO()
    little = np.asarray(array, dtype=array.dtype.newbyteorder("<"), order="C")
    np.lib.format.write_array(out, little, allow_pickle=False)
    return out.getvalue()


def _need(kept: bool | np.bool_, otherwise: str) -> None:
    if not kept:
        raise UnreadableError(otherwise)


def _nowhere(wrong: npt.NDArray[np.bool_], otherwise: str) -> None:
    if wrong.any():
        x, y, z = np.argwhere(wrong)[0].tolist()
        raise UnreadableError(f"{otherwise} at cell ({x}, {y}, {z})")


def _arrays(data: bytes, version: int) -> Arrays:
    """The arrays of a version of the format; names that it does not know are left alone."""
    kinds = {**CELLS, "form": FORM_OF[version]}
    cells = {name: Kind(kind, MOST_CELLS * np.dtype(kind).itemsize) for name, kind in kinds.items()}
    return read_arrays(data, {**cells, "shapes": Kind(np.bool_, MOST_SHAPES)})


def _check_cells(arrays: Arrays) -> None:
    size = arrays["material"].shape
    _need(len(size) == 3 and min(size) > 0, "its arrays do not have the axes x, y and z")
    _need(max(size) <= LONGEST_SIDE, f"its arrays are longer than {LONGEST_SIDE} cells")
    for name in CELLS:
        _need(arrays[name].shape == size, f"its arrays 'material' and {name!r} differ in size")
    air = arrays["material"] == 0
    for name in ("form", "stage"):
        _nowhere((arrays[name] == 0) != air, f"'material' and {name!r} disagree on air")


def _about(text: npt.NDArray[np.str_]) -> About:
    _need(text.ndim == 0, "its array 'about' is not a single text")
    try:
        value = json_value(text.item().encode())
    except ValueError as error:  # a letter that is none
        raise UnreadableError(
            f"'about' is not as the format has it ({first_line(error)})"
        ) from error
    header = _record(value, Header)
    _need(header.format == FORMAT, f"its format is {quoted(header.format)}, not {FORMAT!r}")
    versions = " or ".join(map(str, FORM_OF))
    _need(header.version in FORM_OF, f"its version is {header.version}, not {versions}")
    return _record(value, About)


def _record(value: Any, kind: type[T]) -> T:
    try:
        return as_record(value, kind)
    except UnreadableError as error:
        raise UnreadableError(f"'about' is not as the format has it ({error})") from error


def _check_tables(arrays: Arrays, about: About) -> None:
    for name, table in (
        ("material", about.materials),
        ("form", about.forms),
        ("stage", about.stages),
    ):
        _nowhere(arrays[name] >= len(table), f"{name!r} passes the end of its table")
    shapes = arrays["shapes"]
    _need(shapes.shape == (len(about.forms), SUB, SUB, SUB), "'shapes' does not match the forms")
    _need(about.forms != () and not shapes[0].any(), "its first form is not air")
    for entry in about.materials:
        plain = re.fullmatch(r"#[0-9a-fA-F]{6}", entry.colour)
        _need(
            plain is not None, f"the colour {quoted(entry.colour)} of {entry.name!r} is not #rrggbb"
        )
        _need(
            0 <= entry.lumens <= MOST_LUMENS,
            f"{entry.lumens} lumens of {entry.name!r} are not from 0 to {MOST_LUMENS}",
        )
    for name in _names(about):
        _need(
            len(name) <= LONGEST_NAME,
            f"the name {quoted(name)} is longer than {LONGEST_NAME} letters",
        )
        _need(
            not any(map(unsaid, name)),
            f"the name {quoted(name)} has letters that cannot be printed",
        )


def _names(about: About) -> Iterator[str]:
    yield from about.stages
    yield from (name for entry in about.materials for name in (entry.name, entry.own))
    yield from (name for entry in about.forms for name in (entry.name, entry.piece))
    yield from (entry.kind for entry in about.rooms)


def _check_rooms(room: npt.NDArray[np.uint16], about: About) -> None:
    ids = [entry.id for entry in about.rooms]
    _need(len(set(ids)) == len(ids) and min(ids, default=1) > 0, "its room ids are not unique")
    _nowhere(~np.isin(room, [0, *ids]), "'room' is not in the table of rooms")
    width, depth, height = room.shape
    x, y, z4 = about.gate
    inside = 0 <= x < width and 0 <= y < depth and 0 <= z4 <= SUB * height
    _need(inside, f"its gate {about.gate} lies outside the plot")
    _need(
        0 <= about.eaves <= height, f"its eaves, {about.eaves}, are not one of its {height} layers"
    )
