"""Frame: where supports stand."""

from __future__ import annotations

from collections.abc import Sequence

from genhouse.core.box import Box
from genhouse.model.elements import Support, Wall


def supports(walls: Sequence[Wall]) -> tuple[Support, ...]:
    """One at each end of every wall, as high as it; of an open bay not right under the roof."""
    found = dict.fromkeys(
        Box(x, y, wall.z0, x + 1, y + 1, wall.z1)
        for wall in walls
        for x, y in wall.ends
        if wall.boundary != "open" or not wall.lofty
    )
    return tuple(Support(use="post", box=box) for box in found)
