"""Whether the outline that a brief gives its plot is one that a house can stand on."""

from __future__ import annotations

from genhouse.core.errors import BriefError, InfeasibleError
from genhouse.core.region import Corner, amiss, bounded
from genhouse.core.sentences import closest, quoted
from genhouse.model.bounds import LARGEST_PLOT, MOST_CORNERS, SMALLEST_PLOT
from genhouse.model.brief import Brief
from genhouse.model.shapes import SHAPES, can_be, roomy


def check_outline(brief: Brief) -> None:
    """Raises BriefError or InfeasibleError where it is none, or none with the plot that is given."""
    if isinstance(brief.outline, str):
        _check_shape(brief.outline, brief.plot)
    elif brief.outline is not None:
        _check_corners(brief.outline, brief)


def _check_shape(shape: str, plot: tuple[int, int] | None) -> None:
    if shape not in SHAPES:
        raise BriefError(f"outline: there is no shape {quoted(shape)}; {closest(shape, SHAPES)}")
    if plot is not None and not can_be(shape, plot):
        wide, deep = plot
        while not can_be(shape, (wide, deep)):
            wide, deep = min(wide + 1, LARGEST_PLOT[0]), min(deep + 1, LARGEST_PLOT[1])
        raise InfeasibleError(
            f"outline: no {shape} plot of {plot[0]} x {plot[1]} cells has room for a house",
            stage="site",
            offers=(f"plot {wide} x {deep}",),
        )


def _check_corners(corners: tuple[Corner, ...], brief: Brief) -> None:
    if len(corners) > MOST_CORNERS:
        raise BriefError(f"outline: it has {len(corners)} corners, and {MOST_CORNERS} are the most")
    if words := amiss(corners):
        raise BriefError(f"outline: {words}")
    ground = bounded(corners)
    x0, y0, wide, deep = ground.bounds
    if x0 or y0:
        raise BriefError(
            f"outline: its least numbers are {x0} to the east and {y0} to the north; count both from 0"
        )
    if wide > LARGEST_PLOT[0] or deep > LARGEST_PLOT[1]:
        raise BriefError(
            f"outline: it measures {wide} x {deep} cells, and {LARGEST_PLOT[0]} x {LARGEST_PLOT[1]} are "
            "the most"
        )
    if not roomy(ground):
        raise BriefError(
            "outline: no part of it has room for a house; that takes a rectangle of "
            f"{SMALLEST_PLOT[0]} x {SMALLEST_PLOT[1]} cells, lengthwise or crosswise, within it"
        )
    if brief.plot not in (None, (wide, deep)):
        raise BriefError(
            f"outline: it measures {wide} x {deep} cells, and plot = {list(brief.plot or ())}; leave one "
            "of them out"
        )
    for key in ("plot_least", "plot_most"):
        if getattr(brief, key) is not None:
            raise BriefError(f"outline: its corners say how large the plot is; leave {key} out")
