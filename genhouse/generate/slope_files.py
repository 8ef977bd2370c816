"""Sloping ground as a client has measured it: a table of heights in a file, read once into levels."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from genhouse.core.errors import BriefError, UnreadableError
from genhouse.core.reading import ARRAYS, MB, read_bytes, said
from genhouse.model.bounds import MOST_LEVELS, STEEPEST
from genhouse.model.brief import CELL, Ground

if TYPE_CHECKING:
    from genhouse.core.npz import Array

MOST_POINTS = 1024
"""Points of a file, each way."""
KINDS = ".npy", ".png"


def read_ground(path: Path) -> Ground:
    """The ground of a file: numpy's table ``[x, y]`` from the south-west, in cells, or a grey picture with
    north up, of which each step is a hundredth of a cell.

    It is laid over the whole plot; of more points than a brief has, as many are read as that has.
    Raises BriefError.
    """
    try:
        return _levelled(_points(path), path)
    except UnreadableError as error:
        raise BriefError(f"ground: {error}") from error


def _points(path: Path) -> Array:
    """Heights in cells, by x and y."""
    if path.suffix.lower() not in KINDS:
        raise BriefError(
            f"ground: {said(path)} is no table of heights that is read here; give a .npy or a .png"
        )
    contents = read_bytes(path, 2 * ARRAYS)
    return _picture(contents, path) if path.suffix.lower() == ".png" else _table(contents, path)


def _table(contents: bytes, path: Path) -> Array:
    from genhouse.core.npz import read_table

    try:
        return read_table(contents, 8 * MB)
    except UnreadableError as error:
        raise UnreadableError(f"{said(path)} cannot be read: {error}") from error


def _picture(contents: bytes, path: Path) -> Array:
    import io

    import numpy as np
    from PIL import Image

    try:
        with Image.open(io.BytesIO(contents), formats=("PNG",)) as image:
            _check_size(image.size, path)
            if image.mode not in ("1", "L", "I", "I;16"):
                raise BriefError(
                    f"ground: {said(path)} is a picture in colours; save it in shades of grey"
                )
            return np.asarray(image.convert("I"), dtype=np.float64)[::-1].T / CELL
    except BriefError:
        raise
    # A damaged picture raises nearly anything: OSError, SyntaxError, zlib.error, struct.error, ...
    except Exception as error:
        raise UnreadableError(f"{said(path)} cannot be read: it is no whole picture") from error


def _check_size(size: tuple[int, ...], path: Path) -> None:
    if len(size) != 2 or not all(2 <= side <= MOST_POINTS for side in size):
        raise BriefError(
            f"ground: {said(path)} is no table of heights, with 2 to {MOST_POINTS} of them each way"
        )


def _levelled(heights: Array, path: Path) -> Ground:
    """As many levels as a brief has, each that of the point nearest to it, over the lowest of them."""
    import numpy as np

    _check_size(heights.shape, path)
    if not np.isfinite(heights).all():
        raise BriefError(f"ground: {said(path)} holds what is no number; give each point a height")
    east, north = (_spread(size) for size in heights.shape)
    some = heights[np.ix_(east, north)]
    levels = np.rint(CELL * (some - some.min()))
    if levels.max() > CELL * STEEPEST:
        raise BriefError(
            f"ground: {said(path)} falls {levels.max() / CELL:.2f} cells; a house steps down {STEEPEST} at "
            "the most, so level the plot until it falls no more"
        )
    return Ground(levels=tuple(map(tuple, levels.astype(int).T.tolist())))


def _spread(size: int) -> list[int]:
    """Numbers of points that lie evenly, from the first to the last."""
    count = min(size, MOST_LEVELS)
    return [(2 * n * (size - 1) + count - 1) // (2 * (count - 1)) for n in range(count)]
