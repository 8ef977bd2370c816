"""The underside of a roof: of its shell, of a raised tier, and over the walls on which it rests."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
import numpy.typing as npt

from genhouse.model.elements import Wall
from genhouse.stages.roofs.raised import Tier
from genhouse.stages.roofs.slopes import NONE, Field, half, lain, shell

Bool = npt.NDArray[np.bool_]


def underside(top: Field, storeys: Field, inside: Bool, verge: Bool) -> Field:
    """The shell's, over the wings, at the verges and at the eaves each on its own, storey by storey.

    Past the edge of one part a wall or the open air is below, nothing to close.
    storeys: of the wing that the roof of each half cell belongs to.  inside, verge: cells over the wings,
    and cells at a gable.
    """
    within = half(inside)
    at_gables = half(verge) & ~within
    edges = [at_gables, ~(within | at_gables)]
    levels = np.unique(storeys)
    if len(levels) > 1:
        edges = [edge & (storeys == level) for edge in edges for level in levels]
    parts = np.array([within, *(edge for edge in edges if edge.any())])
    return np.asarray(shell(np.where(parts, top, np.int16(NONE))).max(axis=0))


def below(under: Field, tier: Tier) -> Field:
    """The lowest underside: in the hole the tier's roof, and the foot of its walls."""
    lowest = np.where(under == NONE, tier.under, under)
    for x, y in tier.walls:
        near = under[2 * x - 1 : 2 * x + 3, 2 * y - 1 : 2 * y + 3]
        foot = int(near[near != NONE].min())
        lowest[2 * x : 2 * x + 2, 2 * y : 2 * y + 2] = foot - foot % 2
    return lowest.astype(np.int16)


def over_walls(under: Field, rising: tuple[Wall, ...]) -> Field:
    """The underside no lower than the plate of each wall."""
    plot = under.shape[0] // 2, under.shape[1] // 2
    raised = under.copy()
    for z1 in sorted({s.z1 for s in rising}):
        these = half(walls(plot, (s for s in rising if s.z1 == z1))) & (under != NONE)
        np.maximum(raised, np.int16(2 * z1), out=raised, where=these)
    return raised


def walls(plot: tuple[int, int], segments: Iterable[Wall]) -> Bool:
    """The cells on which walls stand, with the posts at their ends."""
    cells = np.zeros(plot, dtype=bool)
    for s in segments:
        x0, y0, x1, _ = s.cells.lie(s.axis)
        lain(cells, s.axis)[x0 - 1 : x1 + 1, y0] = True
    return cells
