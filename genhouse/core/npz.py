"""An archive of arrays, read with suspicion: what an array is comes first, and how large; then its data.

No more is unpacked than an array of the expected kind and size has, whatever the archive says.
"""

from __future__ import annotations

import io
from collections.abc import Mapping
from typing import IO, Any, NamedTuple
from zipfile import ZIP_DEFLATED, ZIP_STORED, ZipFile

import numpy as np
import numpy.typing as npt

from genhouse.core.errors import UnreadableError

LONGEST_HEADER = 4096
Array = npt.NDArray[Any]


class Kind(NamedTuple):
    """What an array has to be.  dtype: whose kind and size it has; a text may have any length.
    most: bytes of all its items together.
    """

    dtype: npt.DTypeLike
    most: int


def read_arrays(data: bytes, kinds: Mapping[str, Kind]) -> dict[str, Array]:
    """The arrays of these names, each of its kind; whatever else is in there is left alone.

    Raises UnreadableError where one is missing, of another kind or too large, or damaged.
    """
    try:
        with ZipFile(io.BytesIO(data)) as archive:
            names = {info.filename: info for info in archive.infolist()}
            return {name: _read(archive, names, name, kind) for name, kind in kinds.items()}
    except UnreadableError:
        raise
    # A damaged archive raises nearly anything: BadZipFile, zlib.error, EOFError, struct.error, ...
    except Exception as error:
        raise UnreadableError("it is not a whole archive of arrays") from error


def read_table(data: bytes, most: int) -> Array:
    """The one array of a file of numbers, as floats.  most: bytes of all its items together.

    Raises UnreadableError where it is no array of numbers, too large, or damaged.
    """
    try:
        stream = io.BytesIO(data)
        shape, fortran, dtype = _header(stream, "table")
        if dtype.kind not in "iuf":
            raise UnreadableError("it holds no numbers")
        return np.asarray(_items(stream, "table", (shape, fortran, dtype), most), dtype=np.float64)
    except UnreadableError:
        raise
    except Exception as error:
        raise UnreadableError("it is no whole array") from error


def _read(archive: ZipFile, names: Mapping[str, Any], name: str, kind: Kind) -> Array:
    info = names.get(f"{name}.npy")
    if info is None:
        raise UnreadableError(f"it has no array {name!r}")
    if info.compress_type not in (ZIP_STORED, ZIP_DEFLATED):
        raise UnreadableError(f"its array {name!r} is packed in a way that is not read here")
    with archive.open(info) as stream:
        shape, fortran, dtype = _header(stream, name)
        if not _alike(dtype, np.dtype(kind.dtype)):
            raise UnreadableError(f"its array {name!r} is not of {np.dtype(kind.dtype).name}")
        return _items(stream, name, (shape, fortran, dtype), kind.most)


def _items(
    stream: IO[bytes], name: str, header: tuple[tuple[int, ...], bool, np.dtype[Any]], most: int
) -> Array:
    """What follows a header."""
    shape, fortran, dtype = header
    size = dtype.itemsize * int(np.prod([*map(int, shape)], dtype=object))
    if not 0 <= size <= most or min(shape, default=0) < 0:
        raise UnreadableError(f"its array {name!r} is larger than that of any house")
    contents = stream.read(size)
    if len(contents) != size or stream.read(1):
        raise UnreadableError(f"its array {name!r} is not as long as it says")
    flat = np.frombuffer(contents, dtype) if size else np.zeros(0, dtype)
    found = flat.reshape(shape, order="F" if fortran else "C")
    return np.array(found, dtype=dtype.newbyteorder("="), order="C")


def _header(stream: IO[bytes], name: str) -> tuple[tuple[int, ...], bool, np.dtype[Any]]:
    """Shape, whether the first axis varies fastest, and dtype."""
    version = np.lib.format.read_magic(stream)
    if version not in ((1, 0), (2, 0)):
        raise UnreadableError(f"its array {name!r} has a header of another version")
    read = getattr(np.lib.format, f"read_array_header_{version[0]}_0")
    shape, fortran, dtype = read(stream, max_header_size=LONGEST_HEADER)
    return shape, fortran, dtype


def _alike(found: np.dtype[Any], wanted: np.dtype[Any]) -> bool:
    """The same but for the order of bytes, and for the length of a text."""
    return found.kind == wanted.kind and wanted.itemsize in (0, found.itemsize)
