"""Dimensions on a picture that is framed by the whole house: how far what is new lies from the edges of the
plot, how long it is, and in how many layers.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cache
from itertools import pairwise
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
import numpy.typing as npt

from genhouse.outputs.pictures._placed import Placed, Point
from genhouse.outputs.pictures._scene import Scene
from genhouse.outputs.pictures.camera import View, faced

if TYPE_CHECKING:
    from PIL.Image import Image
    from PIL.ImageFont import FreeTypeFont, ImageFont

COLOUR, HALO = (122, 74, 53), (251, 247, 238)
AWAY, TICK, BESIDE = 1.0, 0.5, 1.6
"""Cells between the plot and a line of dimensions, half a stroke across it, and out to its numbers."""
UPRIGHT = 7
"""Pixels that stand for such a cell beside what is measured upright."""
LETTERS = 12
"""Size of the lettering, in pixels."""


class Extent(NamedTuple):
    """From the first to after the last cell along the axes of a view."""

    i: tuple[int, int]
    j: tuple[int, int]
    k: tuple[int, int]


NOWHERE = Extent((0, 0), (0, 0), (0, 0))


def extent_of(cells: npt.NDArray[np.bool_], view: View) -> Extent:
    """Of some cells ``[X, Y, Z]``, of which there is one at least."""
    ends = []
    for axis in range(3):
        held = np.flatnonzero(faced(cells, view).any(axis=tuple(n for n in range(3) if n != axis)))
        ends.append((int(held[0]), int(held[-1]) + 1))
    return Extent(*ends)


def gaps_of(cells: npt.NDArray[np.bool_], view: View) -> tuple[list[int], list[int]]:
    """Where some cells ``[X, Y, Z]`` begin and end along their rows nearest to the camera, on i and on j;
    nothing of a row in which not all stand singly."""
    plan = np.asarray(faced(cells, view).any(axis=2))
    held_i, held_j = np.nonzero(plan)
    i, j = held_i.max(), held_j.max()
    return _singly(plan[:, j]), _singly(plan[i])


def _singly(row: npt.NDArray[np.bool_]) -> list[int]:
    ends = np.flatnonzero(np.diff(np.pad(row, 1)))
    return ends.tolist() if len(ends) > 4 and (ends[1::2] - ends[::2] == 1).all() else []


def measured(
    image: Image,
    scene: Scene,
    view: View,
    extent: Extent,
    *,
    plan: bool,
    height: bool,
    gaps: tuple[list[int], list[int]] = ([], []),
) -> Image:
    """The same picture with the dimensions of what is new.  plan, height: which of them.  gaps: of what
    stands singly, where its pieces begin and end."""
    placed = Placed(scene, view, image.size)
    wide, deep = faced(scene.voxels.form, view).shape[:2]
    on_i, on_j = gaps
    if on_i:
        _row(image, on_i, lambda n, out: placed.point(n, deep + AWAY + out, 0), least=2)
    if on_j:
        _row(image, on_j, lambda n, out: placed.point(wide + AWAY + out, n, 0), least=2)
    ground = scene.voxels.about.gate[2] // 4
    if plan:
        _row(image, [0, *extent.i, wide], lambda n, out: placed.point(n, deep + AWAY + out, 0))
        _row(image, [0, *extent.j, deep], lambda n, out: placed.point(wide + AWAY + out, n, 0))
    if height and extent.k[1] > ground:
        left, front = extent.i[0], extent.j[1]

        def beside(n: float, out: float) -> Point:
            x, y = placed.point(left, front, n)
            return x - UPRIGHT * (AWAY + out), y

        _row(image, [ground, max(extent.k[0], ground), extent.k[1]], beside)
    return image


def _row(
    image: Image, stops: Sequence[int], at: Callable[[float, float], Point], least: int = 1
) -> None:
    """A line with a stroke at each stop, and the cells from one to the next beside it.

    at: where so many cells along it fall, and so many further out.  least: cells that are told of.
    """
    from PIL import ImageDraw

    pen, font = ImageDraw.Draw(image), _font()
    stops = sorted(set(stops))
    pen.line([at(stops[0], 0), at(stops[-1], 0)], fill=COLOUR)
    for stop in stops:
        pen.line([at(stop, -TICK), at(stop, TICK)], fill=COLOUR)
    for one, other in pairwise(stops):
        if other - one < least:
            continue
        middle = at((one + other) / 2, BESIDE)
        pen.text(middle, f"{other - one}", COLOUR, font, "mm", stroke_width=2, stroke_fill=HALO)


@cache
def _font() -> FreeTypeFont | ImageFont:
    from PIL import ImageFont

    return ImageFont.load_default(LETTERS)
