"""Where water would stand on a surface."""

from __future__ import annotations

from genhouse.village.fills import filled
from genhouse.village.surface import Halves, Surface


def pits(surface: Surface) -> Halves:
    """Half cells that water would stand on each column before it runs off the map, or into water."""
    top = surface.top
    return (filled(top, surface.level > 0) - top).astype(top.dtype)
