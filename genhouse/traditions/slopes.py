"""Whether the ground that a brief gives its plot is some that a house can follow."""

from __future__ import annotations

from genhouse.core.errors import BriefError
from genhouse.model.bounds import MOST_LEVELS, STEEPEST
from genhouse.model.brief import CELL, Ground

CORNERS = ("southwest", "southeast", "northwest", "northeast")


def check_ground(ground: Ground) -> None:
    """Raises BriefError where the ground is steeper than a house can follow, or begins in the air."""
    for corner in CORNERS:
        high = getattr(ground, corner)
        if not 0 <= high <= STEEPEST:
            raise BriefError(
                f"ground.{corner}: {high} does not do; a house steps down {STEEPEST} cells at the "
                f"most, so level the plot until each corner lies 0 to {STEEPEST} over the lowest"
            )
    if ground.levels is not None:
        _check_levels(ground.levels)
        if any(ground.corners):
            raise BriefError("ground.levels: they say how high its corners lie; leave these out")


def _check_levels(levels: tuple[tuple[int, ...], ...]) -> None:
    """Raises BriefError where heights are no table, or of ground steeper than a house can follow."""
    sizes = {len(row) for row in levels} | {len(levels)}
    if not all(2 <= size <= MOST_LEVELS for size in sizes):
        raise BriefError(
            f"ground.levels: it wants 2 to {MOST_LEVELS} rows of 2 to {MOST_LEVELS} numbers each"
        )
    if len(set(map(len, levels))) > 1:
        raise BriefError("ground.levels: its rows are not of one length; give each as many numbers")
    low, high = min(map(min, levels)), max(map(max, levels))
    if low < 0 or high > CELL * STEEPEST:
        raise BriefError(
            f"ground.levels: {low if low < 0 else high} does not do; a house steps down {STEEPEST} cells "
            f"at the most, so level the plot until all of it lies 0 to {CELL * STEEPEST} hundredths of a "
            "cell over its lowest"
        )
