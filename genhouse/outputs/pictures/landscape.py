"""Isometric pictures of a wide country, made of what is front-most on each line of sight.

A country is too wide to be held whole: it is gathered piece by piece (``front``), and lit by the
heights of its columns alone, whose shadows and open sky are found in one sweep each.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from genhouse.outputs.pictures import _ink, _print, _tone
from genhouse.outputs.pictures._finish import scattered
from genhouse.outputs.pictures.camera import (
    COS_30,
    I_FACE,
    J_FACE,
    K_FACE,
    Ints,
    Mask,
    Sight,
    Window,
    extent,
    sight,
)
from genhouse.outputs.pictures.front import Front

if TYPE_CHECKING:
    from PIL.Image import Image

Bytes = npt.NDArray[np.uint8]
Printed = _print.Frame
Values = npt.NDArray[Any]
FALL = (5, 11, 16)
"""The sun's way: so far along i for so far along j, and so much down; see ``_light.SUN``."""
SOFT = 40
"""Sixteenths of a step over which a shadow's edge is soft."""
BAND = 400_000
"""Triangles of the lattice that are drawn at a time, about."""
LINES = 3
"""Eighths of ink in lines."""


class Stuff(Struct, frozen=True, kw_only=True):
    """By material: colour uint8 [M, 3]; mottle, in hundredths; soft, whether its creases are light; glows;
    shines, whether a lamp behind it shows."""

    colour: Ints
    mottle: Ints
    soft: Mask
    glows: Mask
    shines: Mask


class Lit(Struct, frozen=True, kw_only=True):
    """dark: sixteenths of a step up to which each column lies in shadow.  low, wide: how high the ground
    stands about it, near and farther off, in steps.  lamps: lamplight."""

    dark: npt.NDArray[np.int32]
    low: npt.NDArray[np.int16]
    wide: npt.NDArray[np.int16]
    lamps: npt.NDArray[np.int32]


def lit(front: Front) -> Lit:
    """The light on a country, by the heights of its columns."""
    top = front.top.astype(np.int32)
    return Lit(
        dark=_shadows(top),
        low=_mean(top, 5).astype(np.int16),
        wide=_mean(top, 20).astype(np.int16),
        lamps=_glow(front.lamps),
    )


def _shadows(top: npt.NDArray[np.int32]) -> npt.NDArray[np.int32]:
    """The shadow of each row of columns falls on the next, a little lower and aside."""
    aside, on, down = FALL
    dark = np.full(top.shape, -(1 << 20), dtype=np.int32)
    for step, j in enumerate(range(top.shape[1] - 2, -1, -1)):
        falls = np.maximum(dark[:, j + 1], top[:, j + 1] * 16) - down * 16 // on
        shift = (step + 1) * aside // on - step * aside // on
        dark[shift:, j] = falls[: len(falls) - shift] if shift else falls
    return dark


def _mean(field: npt.NDArray[np.int32], reach: int) -> npt.NDArray[np.int32]:
    """Over the square that reaches so far; beyond the border, what the border has."""
    for axis in (0, 1):
        wide = np.pad(
            field, [(reach + 1, reach) if a == axis else (0, 0) for a in (0, 1)], mode="edge"
        )
        sums = np.cumsum(wide, axis=axis, dtype=np.int64)
        n = field.shape[axis]
        high, low = (np.take(sums, range(at, at + n), axis=axis) for at in (2 * reach + 1, 0))
        field = ((high - low) // (2 * reach + 1)).astype(np.int32)
    return field


def _glow(lumens: npt.NDArray[np.int32]) -> npt.NDArray[np.int32]:
    """Lamplight about lamps: a bright heart in a wide soft ring."""
    fine = lumens * 64
    near = _mean(_mean(fine, 3), 3)
    return near + 6 * _mean(_mean(_mean(fine, 9), 9), 5)


class Sheet(Struct, frozen=True, kw_only=True):
    """How a country lies on a picture.  size: pixels.  across, down: pixels a strip and a row of the
    lattice; left, top: the strip and the row at the picture's corner."""

    size: tuple[int, int]
    bounds: _print.Bounds
    across: float
    down: float
    left: float
    top: float

    def place(self, front: Front, x: float, y: float, z: float) -> tuple[float, float]:
        """Pixels from the upper left of a point of the world, given in steps."""
        i, j, _ = front.size
        p, q = {
            "south-east": (x, j - y),
            "south-west": (i - y, j - x),
            "north-west": (i - x, y),
            "north-east": (y, x),
        }[front.view]
        return (p - q - self.left) * self.across, (p + q - 2 * z - self.top) * self.down


MARGIN = 0.03


def laid(front: Front, width: int) -> Sheet:
    """A picture so many pixels wide, and as high as it must be."""
    r0, r1, c0, c1 = bounds = extent(front.near.astype(np.int32), front.size[2])
    height = width * (r1 - r0) * 577 // ((c1 - c0) * 1000) + width // 12
    scale = _print.frame(bounds, bounds, (width, height), margin=MARGIN).scale
    across, down = scale * COS_30 / 4, scale / 8
    return Sheet(
        size=(width, height),
        bounds=bounds,
        across=across,
        down=down,
        left=(c0 + c1) / 2 - width / across / 2,
        top=(r0 + r1) / 2 - height / down / 2,
    )


def draw(front: Front, light: Lit, stuff: Stuff, sheet: Sheet, night: bool = False) -> Image:
    """The picture, RGB, band by band."""
    from PIL import Image as Images

    (width, height), bounds = sheet.size, sheet.bounds
    paper = _tone.DUSK if night else _tone.PAPER
    picture = Images.new("RGB", sheet.size, paper)
    rows = max(64, BAND // (bounds[3] - bounds[2]))
    bands = max(1, -(-int(height / sheet.down) // rows))
    for n in range(bands):
        upper, lower = (height * at // bands for at in (n, n + 1))
        first, last = (int(sheet.top + at / sheet.down) for at in (upper, lower))
        reach = (first - 2, last + 4, bounds[2], bounds[3])
        part = _print.frame(bounds, reach, sheet.size, margin=MARGIN)
        drawn = _band(front, light, stuff, part, paper, night)
        box = (0, upper, width, lower)
        picture.paste(drawn.crop(box), box[:2])
    return picture


def _band(
    front: Front,
    light: Lit,
    stuff: Stuff,
    frame: Printed,
    paper: tuple[int, int, int],
    night: bool,
) -> Image:
    window = frame.window
    seen = sight(front.near.astype(np.int32), front.size[2], window)
    colours = np.full((1, 3, window.rows, window.strips), 0, dtype=np.uint8)
    colours[:] = np.array(paper, dtype=np.uint8)[None, :, None, None]
    edges = _ink.bare((window.rows, window.strips))
    if seen.place.size:
        face = seen.face.reshape(-1)[seen.place].astype(np.int32)
        i, j, k = seen.at
        deep = front.size[2]
        kind = front.stuff[i - k + deep, j - k + deep]
        tone = _shaded(front, light, stuff, (i, j, k), face, kind, night)
        flat = colours.reshape(3, -1)
        flat[:, seen.place] = np.clip(tone, 0, 255)
        edges = _ink.weakened(_lines(seen, window, face, kind, stuff), np.uint16(LINES))
    pixels = _print.printed(colours, edges, frame)
    return _print.brought_to_size(pixels, frame, paper)


class Spot(Struct, frozen=True, kw_only=True):
    """Light on N seen faces: sun and sky, 0 to 255, lamplight, and the colour of each, [3, N]."""

    face: Ints
    kind: Bytes
    own: Ints
    sun: Ints
    sky: Ints
    lamps: Ints


def _shaded(
    front: Front,
    light: Lit,
    stuff: Stuff,
    at: tuple[Ints, Ints, Ints],
    face: Ints,
    kind: Bytes,
    night: bool,
) -> Values:
    """Colours [3, N] of seen faces."""
    i, j, k = at
    out_i = np.minimum(i + (face == I_FACE), front.size[0] - 1)
    out_j = np.minimum(j + (face == J_FACE), front.size[1] - 1)
    over = k + (face == K_FACE)
    near, wide = (f[out_i, out_j].astype(np.int32) - over for f in (light.low, light.wide))
    grain = scattered(i, j, k).astype(np.int32) - 128
    own = stuff.colour.T[:, kind] * (256 + grain * stuff.mottle[kind] // 50) >> 8
    cut_i = (i == front.size[0] - 1) & (face == I_FACE)
    border = cut_i | (j == front.size[1] - 1) & (face == J_FACE)
    own[:, border] = _tone.card(own[:, border].astype(np.int32))
    spot = Spot(
        face=face,
        kind=kind,
        own=own,
        sun=np.clip(over * 16 + 8 - light.dark[out_i, out_j], 0, SOFT) * 255 // SOFT,
        sky=np.clip(255 - 16 * np.maximum(near, 0) - 6 * np.maximum(wide, 0), 60, 255),
        lamps=light.lamps[out_i, out_j],
    )
    return _by_night(spot, stuff) if night else _by_day(spot)


def _by_day(spot: Spot) -> Values:
    """Sun and sky, and what the ground throws back."""
    tones = []
    for n in range(3):
        bounce = _of_face({m: colour[n] for m, colour in _tone.BOUNCE.items()}, spot.face)
        of_sky = (88 + spot.sky * 167 // 255) * _of_face(_tone.SKY_ON, spot.face) >> 8
        of_sun = (spot.sun * _of_face(_tone.SUN_ON, spot.face) >> 8) * _tone.SUN_COLOUR[n]
        lit_by = of_sky * (_tone.SKY_COLOUR[n] + bounce) + of_sun >> 8
        tones.append(spot.own[n] * lit_by >> 8)
    return _tone.exposed(np.stack(tones).astype(np.int32))


def _by_night(spot: Spot, stuff: Stuff) -> Values:
    """What dusk leaves, lamplight, and windows that shine."""
    glow = spot.lamps.astype(np.int64) * 256 // (spot.lamps + _tone.BRIGHT)
    dusk = (50 + spot.sky * 205 // 255) * _of_face(_tone.SKY_ON, spot.face) >> 8
    tones = [
        spot.own[n] * (dusk * _tone.EVENING[n] // 255 + glow * _tone.LAMP[n] // 256) >> 8
        for n in range(3)
    ]
    found = np.stack(tones).astype(np.int32)
    shining = stuff.shines[spot.kind] | stuff.glows[spot.kind]
    warm = np.array(_tone.LAMP, dtype=np.int32)[:, None]
    found[:, shining] = (spot.own * warm * 3 >> 10)[:, shining] + (spot.own[:, shining] >> 2)
    return _tone.exposed(found)


def _of_face(values: Mapping[int, int], face: Ints) -> Ints:
    return np.array([values[n] for n in range(3)], dtype=np.int32)[face]


def _lines(seen: Sight, window: Window, face: Ints, kind: Bytes, stuff: Stuff) -> _ink.Edges:
    """Lines where planes and materials end."""
    p, q, right = window.triangles(seen.place)
    corners = _tone.corners(p, q, right, face, seen.at)
    shape = (window.rows, window.strips)

    def spread(values: Values, fill: int = 0) -> Values:
        grid = np.full(shape[0] * shape[1], fill, dtype=values.dtype)
        grid[seen.place] = values
        return grid.reshape(shape)

    offset = np.where(face == I_FACE, seen.at[0], np.where(face == J_FACE, seen.at[1], seen.at[2]))
    surface = _ink.Surface(
        face=seen.face,
        plane=spread((face * (1 << 16) + offset).astype(np.int32), -1),
        material=spread(kind),
        look=spread(np.zeros_like(kind)),
        soft=spread(stuff.soft[kind]),
        heights=tuple(spread(corners.k[n]) for n in range(3)),  # type: ignore[arg-type]
        right=window.points_right(),
    )
    return _ink.contours(surface)
