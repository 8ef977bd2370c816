"""A house's cells in few bytes, for as long as a village is being made."""

from __future__ import annotations

import zlib
from dataclasses import replace
from functools import lru_cache
from typing import Any

import msgspec
import numpy as np
import numpy.typing as npt

from genhouse.core.forms import shapes
from genhouse.core.kept import fixed
from genhouse.core.learned import learned
from genhouse.model.raster import FORM_TABLE, STAGE_TABLE
from genhouse.model.voxels import About, Voxels

AT_HAND = 24
"""Houses whose cells are kept unpacked."""
ARRAYS = {"material": "u1", "form": "<u2", "stage": "u1", "room": "<u2"}


class Contents(msgspec.Struct, frozen=True, kw_only=True):
    """about: without the tables that all houses share.  arrays: each as bytes."""

    about: About
    size: tuple[int, int, int]
    arrays: dict[str, bytes]


def packed(voxels: Voxels) -> bytes:
    """The cells of a house that was made here."""
    contents = Contents(
        about=replace(voxels.about, forms=(), stages=()),
        size=voxels.size,
        arrays={n: getattr(voxels, n).astype(kind).tobytes() for n, kind in ARRAYS.items()},
    )
    return zlib.compress(msgspec.msgpack.encode(contents), 4)


@lru_cache(maxsize=AT_HAND)
def unpacked(contents: bytes) -> Voxels:
    """The same cells again; of the last few at once."""
    found = msgspec.msgpack.decode(zlib.decompress(contents), type=learned(Contents))
    arrays: dict[str, npt.NDArray[Any]] = {
        name: fixed(np.frombuffer(found.arrays[name], dtype=kind).reshape(found.size))
        for name, kind in ARRAYS.items()
    }
    about = replace(found.about, forms=FORM_TABLE, stages=STAGE_TABLE)
    return Voxels(about=about, shapes=shapes(), **arrays)
