"""Where water would stand on a surface."""

from __future__ import annotations

import numpy as np

from genhouse.village.fills import filled
from genhouse.village.surface import Halves, Surface


def pits(surface: Surface) -> Halves:
    """Half cells that water would stand on each column before it runs off the map, or into water, over
    whose face it has to come."""
    top = np.maximum(surface.top, 2 * surface.level)
    return (filled(top, surface.level > 0) - top).astype(top.dtype)
