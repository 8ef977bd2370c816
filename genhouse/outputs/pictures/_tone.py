"""Colour at the corners of seen triangles: material, daylight or lamplight, mottling, section."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from genhouse.core.kept import fixed
from genhouse.outputs.pictures._finish import scattered
from genhouse.outputs.pictures._light import BARE, FOOT, WORLD, Daylight
from genhouse.outputs.pictures.camera import I_FACE, J_FACE, K_FACE, WORLD_AXES, Ints, View

Rgb = npt.NDArray[np.int32]
Mask = npt.NDArray[np.bool_]

PAPER = (243, 239, 231)
DUSK = (84, 94, 124)
POCHE = (58, 50, 46)
DARK_POCHE = (24, 24, 32)
CARD = (214, 202, 184)
PALE = 5
EXPOSURE = 100
"""Eighths of paper in what is not fresh."""

EVENING = (84, 98, 136)
LAMP = (330, 244, 142)
BRIGHT = 1500
GLOW = 300
"""Colours of dusk and lamp, of 256; lamplight that gives half of what a lamp can;
how much brighter than its own colour a lamp is, of 256."""

SUN_COLOUR = (164, 154, 134)
SKY_COLOUR = (112, 116, 126)
"""Of 256; together a little over white, so that plaster in the sun is bright and warm."""

SUN_ON = {I_FACE: 0, J_FACE: 172, K_FACE: 250}
SKY_ON = {I_FACE: 350, J_FACE: 340, K_FACE: 270}
BOUNCE = {I_FACE: (34, 30, 24), J_FACE: (18, 16, 12), K_FACE: (0, 0, 0)}
"""By the way a face looks: its part of sun and sky, and what the ground throws back, of 256."""

VEILED = 90
"""Sun, of 255, that comes everywhere alike where it throws no shadow."""

_OPEN = fixed(4 * np.arange(65, dtype=np.int32) - 128)
CREASE = fixed(256 + np.where(_OPEN < 0, _OPEN * 3 >> 1, _OPEN >> 2))
"""What a nook leaves of the light, of 256, by the open sub-cells about its corner: 32 on a plane."""


class Corners(Struct, frozen=True, kw_only=True):
    """Corners of N seen triangles, in sub-cell corners of the camera frame.

    ``[V, N]``, V being 3: the upper, lower and side one; or 1, that from which all takes its colour.
    """

    i: Ints
    j: Ints
    k: Ints


def corners(p: Ints, q: Ints, right: Mask, face: Ints, at: Ints) -> Corners:
    """Where the upper, lower and side vertices of seen triangles lie in space.

    p, q: of the upper vertex.  at: the sub-cells seen, ``[3, N]``.
    """
    vp = np.stack([p, p + 1, p + right])
    vq = np.stack([q, q + 1, q + 1 - right])
    z = np.where(
        face == K_FACE, at[2] + 1, np.where(face == I_FACE, at[0] + 1 - vp, at[1] + 1 - vq)
    )
    return Corners(i=(vp + z).astype(np.int32), j=(vq + z).astype(np.int32), k=z.astype(np.int32))


def inmost(face: Ints, at: Ints) -> Corners:
    """One corner for each face of a sub-cell: that at which the creases meet that can be seen."""
    i, j, k = ((at[n] + (face == n))[None, :] for n in range(3))
    return Corners(i=i, j=j, k=k)


def _reaching(light: Daylight, at: Corners) -> tuple[Ints, Ints, Ints]:
    """Sun and sky, 0 to 255, and what a nook leaves of them, of 256, at corners."""
    _, di, dj = light.room.shape
    place = ((at.k * di + at.i) * dj + at.j).astype(np.intp)
    room = light.room.take(place)
    over = np.maximum(room, 1).astype(np.int32)
    sky = light.sky.take(place) * np.int32(8) // over
    if light.sun is None:
        return np.full_like(sky, VEILED), sky, CREASE.take(room)
    return light.sun.take(place) * np.int32(4) // over, sky, CREASE.take(room)


def _lit(light: Daylight, at: Corners, face: Ints) -> Rgb:
    """Daylight ``[3 channels, V, N]``, of 256."""
    sun, sky, crease = _reaching(light, at)
    sun = sun * _of_face(face, SUN_ON) >> 8
    sky = (88 + sky * 167 // 255) * _of_face(face, SKY_ON) >> 8
    lit = np.zeros((3, *sky.shape), dtype=np.int32)
    for n, channel in enumerate(lit):
        below = {way: SKY_COLOUR[n] + bounce[n] for way, bounce in BOUNCE.items()}
        np.multiply(sky, _of_face(face, below), out=channel)
        channel += sun * SUN_COLOUR[n]
        channel *= crease
        channel >>= 16
    return lit


def _of_face(face: Ints, values: Mapping[int, int]) -> Ints:
    """For each face a value by the way it looks."""
    return np.array([values[n] for n in range(3)], dtype=np.int32).take(face)


def mottled(at: Corners, amount: Ints, view: View, size: tuple[int, int, int]) -> Ints:
    """Tone around 256 of each corner by its place in the world.  amount: hundredths, ``[N]``."""
    place: list[Ints] = [at.k, at.k, at.k]
    for n, (axis, against) in enumerate(WORLD_AXES[view]):
        along = (at.i, at.j)[n]
        place[axis] = size[n] - along if against else along
    noise = scattered(place[0], place[1], place[2]).astype(np.int32) - 128
    return (256 + noise * amount // 50).astype(np.int32)


def daylit(base: Rgb, light: Daylight, at: Corners, face: Ints) -> Rgb:
    """Colours ``[3 channels, V, N]`` of surfaces in daylight; base: the same shape, 0 to 255."""
    return exposed(base * _lit(light, at, face) >> 8)


def exposed(colours: Rgb) -> Rgb:
    """Colours as film takes them: the middle tones lifted, black and white left as they are."""
    tone = np.arange(256, dtype=np.int32)
    film = tone + tone * (255 - tone) * EXPOSURE // (255 * 256)
    return film.take(colours, mode="clip")


def lamplit(base: Rgb, light: Daylight, at: Corners, face: Ints, lamps: Ints) -> Rgb:
    """Colours of surfaces at nightfall; lamps: lamplight on each corner, ``[V, N]``."""
    _, sky, crease = _reaching(light, at)
    dusk = (50 + sky * 205 // 255) * _of_face(face, SKY_ON) >> 8
    glow = lamps.astype(np.int64) * 256 // (lamps + BRIGHT)
    lit = [(dusk * EVENING[n] // 255 + glow * LAMP[n] // 256) * crease >> 8 for n in range(3)]
    return exposed(base * np.stack(lit).astype(np.int32) >> 8)


def card(colours: Ints) -> Ints:
    """Colours ``[3, N]`` on their way to the pale card that a model's slab is made of."""
    return (colours + 3 * np.array(CARD, dtype=np.int32)[:, None]) >> 2


def faded(colours: Rgb) -> Rgb:
    """Colours drawn back toward the paper."""
    sheet = np.array(PAPER, dtype=np.int32)[:, None, None]
    return (np.minimum(colours, 255) * (8 - PALE) + sheet * PALE) // 8


def table(p: Ints, q: Ints, ground: npt.NDArray[np.uint8], near: npt.NDArray[np.uint8]) -> Ints:
    """How dim the table is at vertices, of 256.  ground: the sun, ``[I + 2 WORLD, J + 2 WORLD]``.
    near: see ``_light.footing``."""
    di, dj = ground.shape
    inside = np.clip(p + WORLD, 0, di - 1) * dj + np.clip(q + WORLD, 0, dj - 1)
    shade = np.maximum(0, BARE - np.arange(256, dtype=np.int32)) * 52 // 255
    beside = np.clip(p + WORLD, 0, di) * (dj + 1) + np.clip(q + WORLD, 0, dj)
    foot = np.arange(FOOT + 1, dtype=np.int32) ** 2 // 15
    dim: Ints = shade[ground.reshape(-1)[inside]] + foot[near.reshape(-1)[beside]]
    return dim


def paper(dim: Ints, colour: tuple[int, int, int] = PAPER) -> Rgb:
    """Colours ``[3 channels, ..]`` of a table; shade on it is a little blue."""
    dims = np.arange(int(dim.max()) + 1, dtype=np.int32)
    return np.stack(
        [(colour[n] * (256 - dims * (100 - 14 * n) // 100) >> 8)[dim] for n in range(3)]
    )
