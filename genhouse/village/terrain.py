"""Ground of a user's own: heights from an array, a npy file or a picture, and where not to build."""

from __future__ import annotations

import io
import os
from math import isfinite
from typing import Any

import numpy as np

from genhouse.core.errors import BriefError, UnreadableError
from genhouse.core.reading import MB, read_bytes, said
from genhouse.generate import taken
from genhouse.village.flow import flow
from genhouse.village.grids import Field, Mask
from genhouse.village.land import CELL, PITCH, Land

LEAST, MOST, STEP = 192, 4096, 64
"""Cells along a map's sides, and what they are a multiple of."""
LARGEST_FILE = 512 * MB
HIGHEST = 160
"""Cells from a map's lowest ground to its highest, at most."""
SEA = 8
"""Cells up to which water stands where a user's heights are 0 or less."""
STREAM = 700
"""Lattice places that drain by from which there is a stream."""


def checked_size(size: Any) -> tuple[int, int]:
    """A map's size.  Raises BriefError."""
    pair = taken.plain(size)
    if not isinstance(pair, list) or len(pair) != 2:
        raise BriefError(f"size: {size!r} is not a width and a depth in cells, such as (512, 512)")
    wide, deep = (taken.whole("size", n, LEAST, MOST) for n in pair)
    if wide % STEP or deep % STEP:
        raise BriefError(
            f"size: {wide}x{deep} does not do, both are multiples of {STEP}; "
            f"{-(-wide // STEP) * STEP}x{-(-deep // STEP) * STEP} would work"
        )
    return wide, deep


def given_land(terrain: Any, units: float) -> tuple[Land, tuple[int, int]]:
    """The land of given heights, and its size.  Raises BriefError or UnreadableError."""
    if not isinstance(units, (int, float)) or not isfinite(units) or not 0 < units <= 1000:
        raise BriefError(f"units: {units!r} is not how many cells a height of 1 is, such as 0.5")
    heights = _numbers("terrain", terrain)
    wide, deep = heights.shape
    checked_size((wide, deep))
    if not np.isfinite(heights).all():
        i, j = np.argwhere(~np.isfinite(heights))[0].tolist()
        raise BriefError(f"terrain: its height at {i}, {j} is no number; every cell wants one")
    high = heights.astype(np.float64) * units
    if float(high.max() - high.min()) > HIGHEST:
        raise BriefError(
            f"terrain: it rises by {float(high.max() - high.min()):.0f} cells, and {HIGHEST} are the most; "
            f"units of {units * HIGHEST / float(high.max() - high.min()):.3g} would work"
        )
    own = np.floor(high * CELL + 0.5).astype(np.int64)
    wet = own <= 0
    if wet.mean() > 0.9:
        raise BriefError("terrain: nearly all of it is under water: heights of 0 and less are")
    low = int(own[~wet].min()) if not wet.any() else 0
    own = np.where(wet, (SEA - 2) * CELL, own - low + (SEA + 1) * CELL)
    n, m = wide // PITCH, deep // PITCH
    lattice = own.reshape(n, PITCH, m, PITCH).sum(axis=(1, 3)) // PITCH**2
    run = flow(lattice, _outlets(lattice, wet))
    head = _head(run.comes, run.to)
    land = Land(heights=lattice, head=head, flow=run, own=own, sea=SEA if wet.any() else 0)
    return land, (wide, deep)


def _outlets(lattice: Field, wet: Mask) -> Mask:
    n, m = lattice.shape
    out: Mask = np.asarray(wet.reshape(n, PITCH, m, PITCH).all(axis=(1, 3)))
    out[[0, -1]] = True
    out[:, [0, -1]] = True
    return out


def _head(comes: Field, to: np.ndarray[Any, Any]) -> tuple[int, int] | None:
    """Where the largest stream begins: up from its mouth, always along the larger branch."""
    flat = comes.reshape(-1)
    at = int(flat.argmax())
    if flat[at] < STREAM:
        return None
    while True:
        above = np.flatnonzero(to == at)
        above = above[above != at]
        if not len(above) or flat[above].max() < STREAM // 3:
            return at // comes.shape[1], at % comes.shape[1]
        at = int(above[flat[above].argmax()])


def given_mask(mask: Any, size: tuple[int, int]) -> Mask:
    """Where nothing is to be built.  Raises BriefError or UnreadableError."""
    found = _numbers("keep-out", mask)
    if found.shape != size:
        raise BriefError(
            f"keep-out: it has {found.shape[0]}x{found.shape[1]} cells, and the map {size[0]}x{size[1]}"
        )
    shut = np.asarray(found != 0)
    if shut.all():
        raise BriefError("keep-out: it leaves no cell to build on")
    return shut


def _numbers(what: str, given: Any) -> np.ndarray[Any, Any]:
    """An array [X, Y] of numbers: x east, y north; of a picture the lowest row is the south."""
    if isinstance(given, (str, bytes, os.PathLike)):
        path = taken.path_of(what, given, BriefError)
        contents = read_bytes(path, LARGEST_FILE)
        try:
            found = _read(contents)
        except (ValueError, OSError, EOFError, SyntaxError) as error:
            raise UnreadableError(
                f"{said(path)} is neither a npy file nor a picture of heights"
            ) from error
    else:
        try:
            found = np.asarray(given)
        except ValueError as error:
            raise BriefError(f"{what}: its rows are of unlike lengths") from error
    if found.ndim != 2 or found.dtype.kind not in "biuf":
        kind = "x".join(map(str, found.shape)) or "one value"
        raise BriefError(
            f"{what}: it is {kind} of {found.dtype}; it wants one number a cell, X by Y"
        )
    return found


def _read(contents: bytes) -> np.ndarray[Any, Any]:
    if contents.startswith(b"\x93NUMPY"):
        return np.asarray(np.load(io.BytesIO(contents), allow_pickle=False))
    from PIL import Image

    with Image.open(io.BytesIO(contents)) as picture:
        grey = picture if picture.mode in ("L", "I", "I;16", "F", "1") else picture.convert("L")
        return np.asarray(grey)[::-1].T
