"""Finishes as fine line-work: which edges of a sub-cell a surface draws, and how it mottles.

A *look* is a finish with its direction (timber by its grain, a mat by its bordered sides).
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import Any

import numpy as np
import numpy.typing as npt

from genhouse.core.axes import SIDES, STEP
from genhouse.core.kept import fixed
from genhouse.model.voxels import Voxels

Marks = npt.NDArray[np.uint8]
Cells = npt.NDArray[np.uint8]
Grid = npt.NDArray[Any]

X, Y, Z = 0, 1, 2
MAT_BORDER = 190
MATS = 32
"""Looks from here on are mats: MATS + which sides carry a border, one bit for each of SIDES."""

LOOKS: tuple[str, ...] = (
    "plain", "timber x", "timber y", "timber z", "boards x", "boards y", "boards z",
    "tile x", "tile y", "paper", "plaster", "stone", "gravel", "earth", "moss", "leaves",
    "water", "brick", "cloth", "glow", "weave", "billets",
    "staves", "straps", "bound", "ruled", "drawers", "ribs", "log", "script",
)  # fmt: skip
"""The looks other than mats; a look's number is its place here."""

LOOK: dict[str, int] = {name: n for n, name in enumerate(LOOKS)}

MOTTLE: dict[str, tuple[int, int]] = {
    "plain": (3, 1), "timber": (12, 3), "boards": (9, 2), "tile": (7, 3), "mat": (5, 1),
    "paper": (2, 0), "plaster": (0, 2), "stone": (11, 4), "gravel": (0, 5), "earth": (0, 6),
    "moss": (4, 16), "leaves": (8, 20), "water": (0, 3), "brick": (8, 4), "cloth": (3, 2),
    "glow": (0, 0), "weave": (6, 3), "billets": (4, 12),
    "staves": (4, 2), "straps": (4, 2), "bound": (6, 4), "ruled": (0, 1), "drawers": (6, 2), "ribs": (0, 0),
    "log": (4, 4), "script": (0, 0),
}  # fmt: skip
"""For each finish, by how many hundredths its tone varies from piece to piece, and within one."""

SOFT = ("gravel", "moss", "leaves", "earth", "water", "tile")
"""Finishes whose own creases are drawn lightly."""

ROUND = (
    "ball", "dome", "cobble", "tuft", "jar", "bowl", "barrel", "basket", "kettle", "loaf", "stool",
    "sprig jar", "floor lamp", "candle", "bale", "bell", "hamper", "skeins", "folds", "wide bowl", "spray",
    "disc", "bed roll", "rolls", "stout post", "felloe", "sack", "flared basket", "domed chest", "bulged",
    "eggs", "filled basket", "roundel",
)  # fmt: skip
"""Pieces that stand for something rounded, whose creases are drawn lightly too."""

Rule = Callable[[Grid, Grid], Grid]
"""Strength 0 to 255 of a line at a place across (0 to 8, in sub-cells) and along (0 to 7)."""

AT = fixed(np.arange(8)[:, None, None] + np.arange(2)[None, :, None])
ALONG = fixed(np.arange(8)[None, None, :])


def _marks() -> Marks:
    """uint8 [normal, along, across 0 to 7, its far side or not, along 0 to 7]: no lines."""
    return np.zeros((3, 3, 8, 2, 8), dtype=np.uint8)


def _none(at: Grid, along: Grid) -> Grid:
    return 0 * at * along


def _each(step: int, strength: int) -> Rule:
    return lambda at, along: np.where(at % step == 0, strength, 0) + 0 * along


def _staggered(length: int, course: int, strength: int) -> Rule:
    """Upright joints: every ``length``, shifted by half of it in every other course."""
    return lambda at, along: np.where(
        (at + (along // course % 2) * (length // 2)) % length == 0, strength, 0
    )


def _hoops(strength: int) -> Rule:
    """Two bands round each cell, near its foot and its head."""
    return lambda at, along: np.where(at % 2 == 1, strength, 0) + 0 * along


def _dashes(strength: int) -> Rule:
    return lambda at, along: np.where((at * 5 + along // 3 * 3) % 7 == 0, strength, 0)


def _faces(*, level: Rule, upright: Rule, flat_x: Rule = _none, flat_y: Rule = _none) -> Marks:
    """Level and upright lines on walls, lines along x and y on top."""
    marks = _marks()
    for normal in (X, Y):
        marks[normal, Z] = upright(AT, ALONG)
        marks[normal, 1 - normal] = level(AT, ALONG)
    marks[Z, X], marks[Z, Y] = flat_x(AT, ALONG), flat_y(AT, ALONG)
    return marks


def _grained(axis: int, step: int, strength: int) -> Marks:
    """Lines along one axis on every face that holds it."""
    marks = _marks()
    for normal in range(3):
        if normal != axis:
            marks[normal, axis] = _each(step, strength)(AT, ALONG)
    return marks


def _mat(borders: int) -> Marks:
    """A dark cloth along the bordered sides."""
    east, north, west, south = (MAT_BORDER * (borders >> n & 1) for n in range(4))
    marks = _marks()
    for low, high, along in ((west, east, Y), (south, north, X)):
        marks[Z, along, 0::4, 0] = low
        marks[Z, along, 3::4, 1] = high
    return marks


def _tile(axis: int) -> Marks:
    """Joints that run up the slope; axis: the way the courses run."""
    return _grained(1 - axis, 2, 32) + _faces(level=_none, upright=_each(2, 32))


@cache
def line_table() -> Marks:
    """uint8 [look, normal, along, 8, 2, 8]: strengths of the fine lines, see ``_marks``."""
    table = np.zeros((MATS + 16, *_marks().shape), dtype=np.uint8)
    for axis, name in enumerate("xyz"):
        table[LOOK[f"timber {name}"]] = _grained(axis, 1, 26)
        table[LOOK[f"boards {name}"]] = _grained(axis, 1, 80)
    table[LOOK["tile x"]], table[LOOK["tile y"]] = _tile(X), _tile(Y)
    table[LOOK["paper"]] = _faces(level=_each(2, 90), upright=_each(1, 60))
    table[LOOK["stone"]] = _faces(
        level=_each(2, 60),
        upright=_staggered(6, 2, 60),
        flat_x=_each(4, 50),
        flat_y=_staggered(8, 4, 50),
    )
    table[LOOK["gravel"]] = _faces(level=_none, upright=_none, flat_x=_each(1, 15))
    table[LOOK["water"]] = _faces(level=_none, upright=_none, flat_x=_dashes(40))
    table[LOOK["brick"]] = _faces(
        level=_each(1, 60), upright=_staggered(2, 1, 60), flat_x=_each(2, 50), flat_y=_each(1, 50)
    )
    table[LOOK["weave"]] = _faces(
        level=_each(1, 50), upright=_staggered(2, 1, 90), flat_x=_each(1, 50), flat_y=_each(2, 70)
    )
    table[LOOK["billets"]] = _faces(level=_each(1, 110), upright=_each(1, 110), flat_y=_each(1, 60))
    table[LOOK["staves"]] = _faces(level=_hoops(230), upright=_each(1, 50), flat_y=_each(1, 50))
    table[LOOK["straps"]] = _faces(level=_hoops(230), upright=_each(2, 200), flat_y=_each(2, 200))
    table[LOOK["bound"]] = _faces(
        level=_none, upright=_each(2, 150), flat_x=_each(2, 150), flat_y=_each(2, 150)
    )
    table[LOOK["ribs"]] = _faces(level=_each(1, 80), upright=_each(4, 120))
    table[LOOK["log"]] = _faces(level=_each(4, 200), upright=_each(1, 170))
    table[LOOK["script"]] = _faces(level=_none, upright=_none, flat_x=_each(1, 150))
    table[LOOK["drawers"]] = _faces(level=_each(2, 200), upright=_each(4, 200))
    table[LOOK["ruled"]] = _faces(
        level=_none, upright=_none, flat_x=_each(1, 160), flat_y=_each(1, 160)
    )
    for borders in range(16):
        table[MATS + borders] = _mat(borders)
    return fixed(table)


def _run(material: Cells, axis: int) -> Cells:
    """For each cell, how far its material runs along an axis, itself included, up to 30."""
    run = np.ones(material.shape, dtype=np.uint8)
    moved = np.moveaxis(material, axis, 0)
    ahead, behind = np.moveaxis(run.copy(), axis, 0), np.moveaxis(run.copy(), axis, 0)
    for n in range(1, len(moved)):
        behind[n] += np.where(moved[n] == moved[n - 1], np.minimum(behind[n - 1], 14), 0)
        m = len(moved) - 1 - n
        ahead[m] += np.where(moved[m] == moved[m + 1], np.minimum(ahead[m + 1], 14), 0)
    return np.moveaxis(ahead + behind - np.uint8(1), 0, axis)


def _grain(material: Cells) -> Cells:
    """0, 1 or 2: the axis along which a cell's material runs furthest; upright wins from two on."""
    x, y, z = (_run(material, axis) for axis in range(3))
    return np.where(z >= 2, Z, np.where(x >= y, X, Y)).astype(np.uint8)


def _mat_looks(voxels: Voxels) -> Grid:
    """By form: the look of a mat of this form; a half mat has all its borders."""
    looks = []
    for form in voxels.about.forms:
        side = form.name.rpartition(" ")[2]
        joined = 1 << SIDES.index(side) if form.piece == "mat" and side in STEP else 0
        looks.append(MATS + 15 - joined)
    return np.array(looks)


def looks(voxels: Voxels, finish: tuple[str, ...]) -> Cells:
    """The look of each cell ``[x, y, z]``.  finish: by material number."""
    upright = _grain(voxels.material)
    level = np.where(_run(voxels.material, X) >= _run(voxels.material, Y), X, Y)
    result = np.zeros(voxels.material.shape, dtype=np.uint8)
    for number, name in enumerate(finish):
        here = voxels.material == number
        if number == 0 or not here.any():
            continue
        if name == "mat":
            result[here] = _mat_looks(voxels)[voxels.form[here]]
        elif name == "timber":
            result[here] = LOOK["timber x"] + upright[here]
        elif name in ("boards", "tile"):
            result[here] = LOOK[f"{name} x"] + level[here]
        else:
            result[here] = LOOK.get(name, 0)
    return result


def scattered(x: Grid, y: Grid, z: Grid) -> Cells:
    """A number 0 to 255 for each whole place, without pattern, by mixing whole numbers."""
    h = (x.astype(np.uint32) * np.uint32(0x9E3779B1)) ^ (
        y.astype(np.uint32) * np.uint32(0x85EBCA77)
    )
    h ^= z.astype(np.uint32) * np.uint32(0xC2B2AE3D)
    h ^= h >> np.uint32(15)
    h *= np.uint32(0x2C1B3C6D)
    h ^= h >> np.uint32(12)
    h *= np.uint32(0x297A2D39)
    return (h >> np.uint32(24)).astype(np.uint8)


def _one_piece(voxels: Voxels, look: Cells) -> tuple[Grid, Grid, Grid]:
    """A place that all cells of one piece share: along the grain, of a mat, of a patch of tiles."""
    place: list[Grid] = list(np.indices(look.shape, dtype=np.int32))
    for axis in range(3):
        grained = [LOOK[f"{name} {'xyz'[axis]}"] for name in ("timber", "boards")]
        place[axis][np.isin(look, grained)] = 0
    tiles = np.isin(look, [LOOK["tile x"], LOOK["tile y"]])
    names = np.array([form.name for form in voxels.about.forms])
    for axis, side in ((X, "west"), (Y, "south")):
        place[axis][tiles] //= 2
        place[axis][(look >= MATS) & (names == f"mat {side}")[voxels.form]] -= 1
    return place[X], place[Y], place[Z]


def piece_tones(voxels: Voxels, look: Cells, amount: Grid) -> npt.NDArray[np.int16]:
    """Tone of each cell's piece around 256.  amount: hundredths, by material."""
    noise = scattered(*_one_piece(voxels, look)).astype(np.int32) - 128
    return (256 + noise * amount[voxels.material] // 50).astype(np.int16)
