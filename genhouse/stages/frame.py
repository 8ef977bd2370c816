"""Frame: where supports stand."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from genhouse.core.box import Box
from genhouse.model.elements import Support, Wall
from genhouse.traditions.tradition import Tradition


def supports(
    walls: Sequence[Wall], middle: Collection[tuple[int, int]], tradition: Tradition
) -> tuple[Support, ...]:
    """One at each end of every wall, as high as it; none in a deep wing's middle right under the roof."""
    found = dict.fromkeys(
        Box(x, y, wall.z0, x + 1, y + 1, wall.z1)
        for wall in walls
        for x, y in wall.ends
        if not tradition.storeys[wall.level - 1].under_roof or (x, y) not in middle
    )
    return tuple(Support(use="post", box=box) for box in found)
