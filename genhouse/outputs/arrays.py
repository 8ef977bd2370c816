"""house.npz: a house as plain arrays, written the same to the byte and read back with suspicion."""

from __future__ import annotations

import io
import re
from dataclasses import replace
from pathlib import Path
from typing import Any
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

import msgspec
import numpy as np
import numpy.typing as npt

from genhouse.core.errors import UnreadableError
from genhouse.core.forms import SUB
from genhouse.core.learned import learned
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

UNIX = 3
Arrays = dict[str, npt.NDArray[Any]]


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
    """The ``about`` record; flags of a material that are off, no light and no own name are left out."""
    record = msgspec.to_builtins(about)
    record["materials"] = [
        {name: value for name, value in material.items() if value not in (False, 0, "")}
        for material in record["materials"]
    ]
    return msgspec.json.encode(record).decode()


def read_voxels(path: Path | str) -> Voxels:
    """Read a file back.  Raises UnreadableError, in one sentence, where it is no whole house."""
    try:
        return parse_voxels(Path(path).read_bytes())
    except OSError as error:
        raise UnreadableError(f"{path} cannot be opened: {error.strerror}") from error
    except UnreadableError as error:
        raise UnreadableError(f"{path} is no house: {error}") from error


def parse_voxels(data: bytes) -> Voxels:
    """The house in a file's bytes, as this version has it.  Raises UnreadableError where they hold none."""
    found = _loaded(data, (*CELLS, "shapes", "about"))
    kinds = {name: kind for name, kind in CELLS.items() if name != "form"} | {"shapes": np.bool_}
    arrays = {name: _array(found, name, kind) for name, kind in kinds.items()}
    about = _about(_array(found, "about", np.str_))
    arrays["form"] = _array(found, "form", FORM_OF[about.version]).astype(np.uint16, copy=False)
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


def _array(found: Arrays, name: str, kind: npt.DTypeLike) -> npt.NDArray[Any]:
    """One of the arrays, of its dtype."""
    _need(name in found, f"it has no array {name!r}")
    array = found[name]
    alike = isinstance(array, np.ndarray) and _alike(array.dtype, np.dtype(kind))
    _need(alike, f"its array {name!r} is not of {np.dtype(kind).name}")
    return np.asarray(array, dtype=kind, order="C")


def _loaded(data: bytes, names: tuple[str, ...]) -> Arrays:
    try:
        with np.load(io.BytesIO(data), allow_pickle=False) as archive:
            return {name: archive[name] for name in names if name in archive}
    # A damaged archive raises nearly anything: BadZipFile, zlib.error, EOFError, MemoryError, ...
    except Exception as error:
        raise UnreadableError("it is not a whole archive of arrays") from error


def _alike(found: np.dtype[Any], wanted: np.dtype[Any]) -> bool:
    """The same but for the order of bytes, and for the length of a text."""
    return found.kind == wanted.kind and wanted.itemsize in (0, found.itemsize)


def _check_cells(arrays: Arrays) -> None:
    size = arrays["material"].shape
    _need(len(size) == 3 and min(size) > 0, "its arrays do not have the axes x, y and z")
    for name in CELLS:
        _need(arrays[name].shape == size, f"its arrays 'material' and {name!r} differ in size")
    air = arrays["material"] == 0
    for name in ("form", "stage"):
        _nowhere((arrays[name] == 0) != air, f"'material' and {name!r} disagree on air")


def _about(text: npt.NDArray[np.str_]) -> About:
    _need(text.ndim == 0, "its array 'about' is not a single text")
    try:
        header = msgspec.json.decode(text.item(), type=learned(Header))
        _need(header.format == FORMAT, f"its format is {header.format!r}, not {FORMAT!r}")
        versions = " or ".join(map(str, FORM_OF))
        _need(header.version in FORM_OF, f"its version is {header.version}, not {versions}")
        return msgspec.json.decode(text.item(), type=learned(About))
    except (msgspec.DecodeError, UnicodeError) as error:
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
        _need(plain is not None, f"the colour {entry.colour!r} of {entry.name!r} is not #rrggbb")


def _check_rooms(room: npt.NDArray[np.uint16], about: About) -> None:
    ids = [entry.id for entry in about.rooms]
    _need(len(set(ids)) == len(ids) and min(ids, default=1) > 0, "its room ids are not unique")
    _nowhere(~np.isin(room, [0, *ids]), "'room' is not in the table of rooms")
    x, y, _ = about.gate
    inside = 0 <= x < room.shape[0] and 0 <= y < room.shape[1]
    _need(inside, f"its gate {about.gate} lies outside the plot")
