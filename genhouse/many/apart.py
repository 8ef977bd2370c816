"""How far apart two variants of a house are, and from where one sees it.

A variant shares with the others all that was kept, so only what was drawn anew is compared: the pieces
that a view shows, each by its place, material and form.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from fractions import Fraction

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from genhouse.core.kept import fixed
from genhouse.many import outside
from genhouse.model.voxels import Voxels

VIEWS = {
    "outside": ("site", "frame", "walls", "roof"),
    "inside": ("floors", "mats", "stair", "screens", "court", "fittings", "lamps"),
}
"""Building stages that one sees in each picture, gardens best where the house is cut open; the
farther off first."""
NEAREST = Fraction(15, 100)
"""No variant is nearer than this to another, or to the house that it is one of, in the view shown."""

Pieces = npt.NDArray[np.uint64]


class Told(Struct, frozen=True, eq=False):
    """A house as it is compared: for each view, a number for each piece, sorted, read-only.

    heights: as ``outside`` compares them, where the site is drawn anew.
    """

    views: dict[str, Pieces]
    heights: outside.Heights = ()


def told(voxels: Voxels, settled: Collection[str]) -> Told:
    """What is compared of a house.  settled: the building stages that stayed as they were."""
    views = {view: _pieces(voxels, view, settled) for view in seen(settled)}
    return Told(views, () if "site" in settled else outside.heights(voxels))


def seen(settled: Collection[str]) -> tuple[str, ...]:
    """The views that can show a difference."""
    return tuple(view for view, stages in VIEWS.items() if not set(stages) <= set(settled))


def _pieces(voxels: Voxels, view: str, settled: Collection[str]) -> Pieces:
    shown = [name in VIEWS[view] and name not in settled for name in voxels.about.stages]
    where = np.array(shown)[voxels.stage]
    numbers = [*np.argwhere(where).T, voxels.material[where], voxels.form[where]]
    whole = np.zeros(len(numbers[0]), dtype=np.uint64)
    for number, bits in zip(numbers, (8, 8, 8, 8, 16), strict=True):
        whole = whole << np.uint64(bits) | number.astype(np.uint64)
    return fixed(np.sort(whole))


def distance(a: Told, b: Told, view: str) -> Fraction:
    """The part of the pieces of either, in a view, that the two do not share (P. Jaccard 1912); 0 to 1."""
    one, other = a.views[view], b.views[view]
    shared = len(np.intersect1d(one, other, assume_unique=True))
    either = len(one) + len(other) - shared
    return 1 - Fraction(shared, either) if either else Fraction(0)


def kept_apart(houses: Sequence[Told], view: str) -> list[int]:
    """The first, and each after it that is far enough in this view from all that are kept before."""
    kept: list[int] = []
    for n, house in enumerate(houses):
        if not any(_alike(house, houses[k], view) for k in kept):
            kept.append(n)
    return kept


def _alike(a: Told, b: Told, view: str) -> bool:
    """Nearer than one of the two floors, that of the heights only where these are drawn anew."""
    stamped = bool(a.heights) and outside.alike(a.heights, b.heights)
    return stamped or distance(a, b, view) < NEAREST


def told_apart(
    houses: Sequence[Told], settled: Collection[str], wanted: int
) -> tuple[str, list[int]]:
    """A view, and the houses that it tells apart: the farthest-off view that tells as many as wanted
    from the first and each other, else that which tells most."""
    best: tuple[str, list[int]] = ("inside", [0])
    for view in seen(settled):
        kept = kept_apart(houses, view)[: wanted + 1]
        if len(kept) > len(best[1]):
            best = view, kept
    return best
