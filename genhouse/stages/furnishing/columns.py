"""Columns: the stances of a fitting as arrays, so that all of them are weighed at once.

A set of cells is a few 64-bit words, lowest first, as many as the largest room of a house needs: mostly
one.  Sets stand side by side, the last axis running over them, so that each word of all is one line.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable
from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np
import numpy.typing as npt

from genhouse.core.kept import fixed
from genhouse.stages.furnishing.stances import Stance, stances
from genhouse.stages.furnishing.worth import CORNER, FACES, MIDDLE, NEAR, TWINS, spoilt
from genhouse.traditions.tradition import Fitting

Sets = npt.NDArray[np.uint64]
Numbers = npt.NDArray[np.int16]

SOLID, USE, FRONT, SPOILT, MEETS, TALL = range(6)
"""The sets of a stance: its cells, the cell it is used from, those wanted clear before it, the squares
of two by two cells it takes part in; all that must be free for it, its high cells."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Columns:
    """The stances of a fitting, side by side; all arrays read-only.

    key: what they were made from; where it is equal, so is all else.

    sets [6, W, S]: named above.  view [W, S]: what each looks at, where that counts.
    own [S]: what each is worth wherever walls and doors are.
    ground [5, S]: x0, y0, x1, y1 and facing.  feet: cells that it stands on.  height: its layers.
    """

    key: Hashable
    stances: tuple[Stance, ...] = field(compare=False)
    sets: Sets = field(compare=False)
    view: Sets | None = field(compare=False)
    own: Numbers = field(compare=False)
    ground: Numbers = field(compare=False)
    feet: int = field(compare=False)
    height: int = field(compare=False)


def columns(fitting: Fitting, mirror: bool, width: int, depth: int, words: int) -> Columns:
    """All stances of a fitting in a room of this size; the same for either hand where it is even."""
    return _columns(fitting, mirror and not _even(fitting), width, depth, words)


@lru_cache(maxsize=1024)
def _even(fitting: Fitting) -> bool:
    """Whether a fitting looks the same with left and right changed over."""
    last = fitting.size[0] - 1
    at = {(x, y, z) for x, y, z, _, _ in fitting.pieces}
    return at == {(last - x, y, z) for x, y, z in at}


@lru_cache(maxsize=4096)
def _columns(fitting: Fitting, mirror: bool, width: int, depth: int, words: int) -> Columns:
    found = tuple(stances(fitting, mirror, width, depth))
    return _made((fitting, mirror, width, depth, words), fitting, found, width, depth, words)


@lru_cache(maxsize=256)
def columns_at(fitting: Fitting, stance: Stance, width: int, depth: int, words: int) -> Columns:
    """One stance of it."""
    key = (fitting, stance, width, depth, words)
    return _made(key, fitting, (stance,), width, depth, words)


def _made(
    key: Hashable,
    fitting: Fitting,
    found: tuple[Stance, ...],
    width: int,
    depth: int,
    words: int,
) -> Columns:
    stride = width + 1
    sets = [
        (s.solid, s.use, s.front, spoilt(s.solid, stride), s.solid | s.use, s.tall) for s in found
    ]
    if fitting.against == "centre":
        own = [-MIDDLE * s.off(width, depth) for s in found]
    else:
        own = [CORNER * s.ends(width, depth) for s in found]
    if fitting.faces == "length":
        own = [n + min(FACES, s.ahead) for n, s in zip(own, found, strict=True)]
    looks = fitting.faces in ("court", "door")
    return Columns(
        key=key,
        stances=found,
        sets=packed((bits for row in zip(*sets, strict=True) for bits in row), words, 6),
        view=packed((s.view(stride) for s in found), words, 1)[0] if looks else None,
        own=fixed(np.array(own, np.int16)),
        ground=fixed(np.array([(*s.cells, s.facing) for s in found], np.int16).reshape(-1, 5).T),
        feet=found[0].solid.bit_count() if found else 0,
        height=fitting.height,
    )


def packed(sets: Iterable[int], words: int, kinds: int) -> Sets:
    """Sets of cells, as many of each kind and kind by kind, as [kinds, W, number of each], read-only."""
    data = b"".join([bits.to_bytes(8 * words, "little") for bits in sets])
    rows = np.frombuffer(data, "<u8").reshape(kinds, -1, words)
    return fixed(np.ascontiguousarray(rows.transpose(0, 2, 1)))


NEARS = fixed(np.array((*NEAR, 0), np.int16))


@lru_cache(maxsize=4096)
def beside(a: Columns, b: Columns, near: bool, like: bool) -> Numbers:
    """What each stance of one is worth with each of another, as companions, as its like or both."""
    found = np.zeros((len(a.stances), len(b.stances)), np.int16)
    its, others = a.ground[:, :, None], b.ground[:, None]
    if near:
        gaps = np.maximum(its[:2] - others[2:4], others[:2] - its[2:4])
        found += NEARS.take(np.minimum(np.maximum(gaps, 0).sum(0), len(NEAR)))
    if like:
        upright = its[4] % 2 == 0
        level, plumb = its[1] == others[1], its[0] == others[0]
        turned = its[4] ^ others[4]
        in_line = (turned == 0) & np.where(upright, level, plumb)
        opposite = (turned == 2) & np.where(upright, plumb, level)
        found += TWINS * (in_line | opposite)
    return fixed(found)
