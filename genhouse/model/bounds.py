"""The bounds of every number in a brief: what the largest plot can hold, and what the trade can do."""

from __future__ import annotations

from genhouse.core.box import Rect
from genhouse.core.region import Region, rectangle

SMALLEST_PLOT = (17, 19)
LARGEST_PLOT = (45, 61)
LARGEST = rectangle(LARGEST_PLOT)
MOST_CORNERS = 32
"""Corners of an outline: as many as a stair of eight steps round a plot has."""
MARGIN = 5
"""Cells of a plot's width, and of its depth, that no room has: eaves on both sides, and one wall line."""
BAY = 16
"""Cells of the smallest bay with the walls on two of its sides: no room is smaller."""
COURT = 36
"""Cells of the smallest court with the walls on two of its sides."""


def most_rooms(plot: Region, storeys: int) -> int:
    """Rooms that a plot could hold at the very most, by their area.

    >>> most_rooms(rectangle((17, 19)), 2), most_rooms(LARGEST, 1)
    (16, 137)
    """
    built = Region(tuple(Rect(x0, y0, x1 - MARGIN, y1 - MARGIN) for x0, y0, x1, y1 in plot.parts))
    return storeys * max(0, (len(built.cells()) - COURT) // BAY)


MOST_SEEDS = 100_000
"""Houses from which ideas are chosen: about an hour's work on two processors."""
MOST_SURVEYED = 1_000_000_000
"""Houses of one survey."""
MOST_HELPERS = 256
"""Processes that help, at most."""
MOST_CELLS = (LARGEST_PLOT[0] - MARGIN) * (LARGEST_PLOT[1] - MARGIN)

STEEPEST = 4
"""Cells by which the ground of a plot may fall: a house on it steps down between its ranges."""
MOST_LEVELS = 17
"""Points along a plot, each way, at which a brief says how high its ground lies."""

BOUNDS = {
    "closed": (2, 4),
    "courts": (1, 3),
    "storeys": (1, 3),
    "gallery": (1, 4),
    "light": (1, 30),  # lux that lamps of a tradition can be trusted to bring to every corner
    "people": (1, 16),
    **dict.fromkeys(
        (f"ground.{corner}" for corner in ("southwest", "southeast", "northwest", "northeast")),
        (0, STEEPEST),
    ),
    "ground.levels": (0, 100 * STEEPEST),
    "roof.dormers": (0, 8),
    "rooms.count": (0, most_rooms(LARGEST, 2)),
    "rooms.area": (1, MOST_CELLS),
    "rooms.storey": (1, 3),
}
"""The least and the most of each number, by the key it stands under; plots have bounds of their own."""
