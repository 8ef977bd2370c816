"""From lattice triangles to pixels: every triangle has the same pattern of them."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from genhouse.core.kept import fixed
from genhouse.outputs.pictures._ink import Edges
from genhouse.outputs.pictures.camera import COS_30, Mask, Window

if TYPE_CHECKING:
    from PIL.Image import Image

FINENESS = 1.25
"""Pixels worked out for each one wanted, along each way, at least."""

COARSEST = 42
"""Pixels along a sub-cell's edge from which nothing is gained by more."""

Sums = npt.NDArray[np.uint16]
Bounds = tuple[int, int, int, int]
"""Lowest and highest row, then upright line, of the lattice."""


class Frame(Struct, frozen=True, kw_only=True):
    """How a lattice window becomes a picture.

    size: pixels wanted.  scale: pixels a cell's edge of the drawing.  a, b: pixels worked out
    across and down a sub-cell's edge, 2 b down an upright one; made sqrt 3 to 1 in the end.
    part: left, upper, right, lower of what the window fills of the picture; the rest is bare paper.
    window: the triangles.  crop: that part among the window's own pixels.
    """

    size: tuple[int, int]
    scale: float
    a: int
    b: int
    part: tuple[int, int, int, int]
    window: Window
    crop: tuple[float, float, float, float]


def _fitted(bounds: Bounds, size: tuple[int, int], margin: float) -> float:
    """Pixels a cell's edge, in sixty-fourths, with which bounds fill a picture up to its margin."""
    r0, r1, c0, c1 = bounds
    free = [n * (1 - 2 * margin) for n in size]
    return int(64 * min(free[0] / ((c1 - c0) * COS_30 / 4), free[1] / ((r1 - r0) / 8))) / 64


def frame(bounds: Bounds, reach: Bounds, size: tuple[int, int], margin: float = 0.06) -> Frame:
    """A frame that is filled by ``bounds`` up to a margin, and printed as far as ``reach``."""
    scale = _fitted(bounds, size, margin)
    across, down = scale * COS_30 / 4, scale / 8
    a, b = (min(COARSEST, 1 + int(FINENESS * n)) for n in (across, down))
    left = (bounds[2] + bounds[3]) / 2 - size[0] / across / 2
    top = (bounds[0] + bounds[1]) / 2 - size[1] / down / 2
    part = (
        max(0, int((reach[2] - left) * across)),
        max(0, int((reach[0] - top) * down)),
        min(size[0], int((reach[3] - left) * across) + 2),
        min(size[1], int((reach[1] - top) * down) + 2),
    )
    c0, t0, c1, t1 = (
        (top if n % 2 else left) + edge / (down if n % 2 else across) for n, edge in enumerate(part)
    )
    first_c, first_t = int(c0 // 1) - 1, int(t0 // 1) - 2
    window = Window(
        t0=first_t, c0=first_c, rows=int(t1 - first_t) + 3, strips=int(c1 - first_c) + 2
    )
    crop = ((c0 - first_c) * a, (t0 - first_t) * b, (c1 - first_c) * a, (t1 - first_t) * b)
    return Frame(size=size, scale=scale, a=a, b=b, part=part, window=window, crop=crop)


SAMPLES = 16
"""Points along each edge of a pixel by which it is shared out among its triangles."""


class Dots(NamedTuple):
    """The D pixels of a triangle's pattern.

    place: down and across, ``[2, D]``.  share: how much of each the triangle covers, ``[D]``.  weights: of
    the upper, lower and side vertex, ``[3, D]``.  near, wide: how much of the share a thin line, and the
    rest of a thick one, takes: along the upper, lower and upright edge, then round the three vertices,
    ``[6, D]``.  All of 256.
    """

    place: Sums
    share: Sums
    weights: Sums
    near: Sums
    wide: Sums

    def split(self, most: int) -> Iterator[Dots]:
        """So many at a time, at most."""
        for n in range(0, len(self.share), most):
            yield Dots(*(part[..., n : n + most] for part in self))


def _dots(a: int, b: int, right: bool, half_width: int) -> Dots:
    """The pixels that a triangle reaches.  half_width: of a thin line, in sixteenths of a pixel."""
    unit = 2 * SAMPLES
    # Whole numbers, so that each sample falls to just one triangle, wherever this is run.
    across, y = (np.arange(1, unit * n, 2, dtype=np.int64) for n in (a, 2 * b))
    side, y = (across if right else unit * a - across)[None, :], y[:, None]
    up, down = y * a - side * b, 2 * unit * a * b - y * a - side * b
    inside = (up >= 0) & (down > 0)

    def summed(values: npt.NDArray[Any]) -> npt.NDArray[np.int64]:
        """Over the samples inside, by pixel ``[2 b, a]``."""
        by_pixel = np.where(inside, values, 0).reshape(2 * b, SAMPLES, a, SAMPLES)
        return np.asarray(by_pixel.sum(axis=(1, 3)))

    share = summed(np.ones_like(up))
    some = np.maximum(share, 1)
    long = a * a + b * b
    # Squared distances from the edges and from the vertices, times their own square scale.
    squares = (
        (up * up, long),
        (down * down, long),
        (side * side + 0 * y, 1),
        (side * side + y * y, 1),
        (side * side + (2 * unit * b - y) ** 2, 1),
        ((unit * a - side) ** 2 + (unit * b - y) ** 2, 1),
    )
    near, wide = (
        np.stack(
            [summed(256 * n < (unit * width) ** 2 * scale) * 256 // some for n, scale in squares]
        )
        for width in (half_width, 2 * half_width)
    )
    apex = summed(side + 0 * y) * 256 // (some * unit * a)
    low = np.minimum(summed(up) * 128 // (some * unit * a * b), 256 - apex)
    weights = np.stack([256 - low - apex, low, apex])
    at = np.nonzero(share)
    parts = weights, near, wide
    return Dots(
        *(
            fixed(part.astype(np.uint16))
            for part in (np.stack(at), share[at], *(p[:, at[0], at[1]] for p in parts))
        )
    )


@cache
def pattern(a: int, b: int, half_width: int) -> tuple[Dots, Dots]:
    """The pixels of a triangle that points left, and of one that points right."""
    return _dots(a, b, False, half_width), _dots(a, b, True, half_width)


THICK = 140
"""Ink from which a line grows thick."""


def _inked(edges: Edges, right: Mask) -> npt.NDArray[np.uint8]:
    """Ink on the three edges and the three vertices of each triangle, ``[6, T, C]``."""
    return np.stack([edges.upper, edges.lower, edges.upright, *edges.joints(right)])


class Strokes(Struct, frozen=True, kw_only=True):
    """Ink on the three edges and three vertices of N triangles: ``[6, N]`` of thin lines; ``[6, M]`` of the
    thick ones, of which there are few, with the places of those M triangles."""

    thin: Sums
    thick: Sums
    place: npt.NDArray[np.intp]


def _strokes(ink: npt.NDArray[np.uint8]) -> Strokes:
    """Of ink ``[6, ..]``."""
    ink = ink.reshape(6, -1)
    place = np.flatnonzero(np.maximum.reduce(ink) > THICK)
    thick = np.maximum(ink[:, place], THICK) - np.uint8(THICK)
    return Strokes(
        thin=ink.astype(np.uint16), thick=thick.astype(np.uint16) * np.uint16(2), place=place
    )


def _light(dots: Dots, strokes: Strokes) -> Sums:
    """What N triangles add of their colour to each pixel, less the ink on it, of 256: ``[D, N]``."""
    ink = _strongest(strokes.thin, dots.near)
    if strokes.place.size:
        flat, at = ink.reshape(-1), strokes.place + ink.shape[1] * np.arange(len(ink))[:, None]
        flat[at] = np.maximum(flat.take(at), _strongest(strokes.thick, dots.wide))
    share = dots.share[:, None]
    ink *= share
    ink >>= 8
    return np.asarray(np.subtract(share, ink, out=ink))


def _strongest(ink: Sums, covers: Sums) -> Sums:
    """Of ink ``[6, N]``, each as far as it covers a pixel: ``[D, N]``."""
    most: Sums = np.zeros((covers.shape[1], ink.shape[1]), dtype=np.uint16)
    part = np.zeros_like(most)
    for line, cover in zip(ink, covers, strict=True):
        if any(cover.tolist()):
            np.maximum(most, np.multiply(line, cover[:, None], out=part), out=most)
    most >>= 8
    return most


def _toned(dots: Dots, corners: Sums) -> Sums:
    """The colours of triangles at each pixel: even where they have but one, running between their corners'.

    corners: ``[V, channels, N]``.  ``[D, channels, N]``.
    """
    if len(corners) == 1:
        return np.broadcast_to(corners, (len(dots.share), *corners.shape[1:]))
    upper, lower, side = dots.weights[:, :, None, None]
    tone: Sums = corners[0] * upper
    tone += corners[1] * lower
    tone += corners[2] * side
    tone >>= 8
    return tone


AT_ONCE = 1 << 15
"""Values of a channel that are worked out together: as many as lie near at hand."""


def printed(colours: npt.NDArray[np.uint8], edges: Edges, lattice: Frame) -> npt.NDArray[np.uint8]:
    """Pixels ``[channels, height, width]`` of a window.

    colours: ``[V, channels, T, C]``, of V corners (see ``_tone.Corners``).
    """
    ink = _inked(edges, lattice.window.points_right())
    kept = _kept(lattice, colours.shape[1])
    for t, c in CORNERS:
        own = colours[:, :, t::2, c::2]
        corners = own.reshape(*own.shape[:2], -1).astype(np.uint16)
        lines = _strokes(ink[:, t::2, c::2])
        height, width = own.shape[2:]
        for dots in _dots_of(lattice, t, c).split(max(1, AT_ONCE // (height * width + 1))):
            toned = _places(lattice, t, c, dots), _toned(dots, corners), _light(dots, lines)
            for (y, x, down), tone, light in zip(*toned, strict=True):
                pixels = (tone * light).reshape(-1, height, width)
                kept[y, x, :, down : down + height, :width] += pixels
    return _whole(kept, lattice)


CORNERS = ((0, 0), (0, 1), (1, 0), (1, 1))
"""First row and strip of the triangles that share a pattern: every other row and strip repeats it."""


def _dots_of(lattice: Frame, t: int, c: int) -> Dots:
    """The pixels of each triangle in every other row and strip."""
    half_width = int(16 * 0.42 * lattice.a / (lattice.scale * COS_30 / 4))
    points_right = (lattice.window.t0 + t + lattice.window.c0 + c) % 2 == 0
    return pattern(lattice.a, lattice.b, half_width)[points_right]


def _places(lattice: Frame, t: int, c: int, dots: Dots) -> Iterator[tuple[int, int, int]]:
    """Where pixels of every other row and strip are kept, and how many repeats further down."""
    for dy, dx in dots.place.T.tolist():
        down, y = divmod(t * lattice.b + dy, 2 * lattice.b)
        yield y, c * lattice.a + dx, down


def _kept(lattice: Frame, channels: int) -> Sums:
    """Room for all pixels, by their place in the pattern: ``[2 b, 2 a, channels, rows, columns]``."""
    rows, strips = lattice.window.rows, lattice.window.strips
    size = (2 * lattice.b, 2 * lattice.a, channels, rows // 2 + 2, (strips + 1) // 2)
    return np.zeros(size, dtype="<u2")


def _whole(kept: Sums, lattice: Frame) -> npt.NDArray[np.uint8]:
    """Pixels ``[channels, height, width]`` of 256ths kept by their place in the pattern."""
    high = kept.view(np.uint8).reshape(*kept.shape, 2)[..., 1]
    down, across, channels, rows, columns = kept.shape
    image = np.zeros((channels, rows, down, columns, across), dtype=np.uint8)
    for y, x in np.ndindex(down, across):
        image[:, :, y, :, x] = high[y, x]
    whole = image.reshape(channels, rows * down, columns * across)
    return whole[:, : (lattice.window.rows + 1) * lattice.b, : lattice.window.strips * lattice.a]


ACCENT = (196, 84, 40)
"""The colour of the line round what a building stage adds."""


def accented(pixels: npt.NDArray[np.uint8], lines: Edges, lattice: Frame) -> None:
    """Draw lines in the accent's colour over the pixels of a window.  Few triangles have any."""
    ink = _inked(lines, lattice.window.points_right())
    covered = _kept(lattice, 1)
    for t, c in CORNERS:
        own = ink[:, t::2, c::2]
        row, column = np.nonzero(np.bitwise_or.reduce(own) > 0)
        few = _strokes(own[:, row, column])
        dots = _dots_of(lattice, t, c)
        inked = dots.share[:, None] - _light(dots, few)
        for (y, x, down), some in zip(_places(lattice, t, c, dots), inked, strict=True):
            covered[y, x, 0, row + down, column] += some
    at = np.unravel_index(np.flatnonzero(covered > 0), covered.shape)
    place = (2 * lattice.b * at[3] + at[0], 2 * lattice.a * at[4] + at[1])
    left = 255 * (256 - covered[at].astype(np.int32)) >> 8
    for band, colour in zip(pixels, ACCENT, strict=True):
        band[place] = colour + (band[place].astype(np.int32) - colour) * left // 255


def brought_to_size(
    pixels: npt.NDArray[np.uint8], lattice: Frame, paper: tuple[int, int, int]
) -> Image:
    """The picture that a frame asks for, of a window's pixels ``[3, height, width]``."""
    from PIL import Image as Images

    whole = Images.merge("RGB", [Images.fromarray(band) for band in pixels])
    left, upper, right, lower = lattice.part
    part = whole.resize((right - left, lower - upper), Images.Resampling.HAMMING, box=lattice.crop)
    picture = Images.new("RGB", lattice.size, paper)
    picture.paste(part, (left, upper))
    return picture
