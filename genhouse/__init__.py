"""genhouse: courtyard houses for block worlds, from a seed.

A house is designed in the order in which it is built.  A *recipe* (seed and brief) goes through the
*stages*: site, bays, rooms, frame, walls, floors, mats, screens, roof, court, fittings, lamps.  Each
adds parts and changes none; the parts are cut into *cells*; an *inspection* that knows only the cells
passes or fails the house; the *outputs* explain it.

>>> import genhouse
>>> house = genhouse.design(7)
>>> house.inspect().clean
True
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from genhouse.core.errors import GenhouseError
from genhouse.model.brief import Brief, Recipe

if TYPE_CHECKING:
    from genhouse.house import House, design, load

__version__ = "0.1.0"
__all__ = ["Brief", "GenhouseError", "House", "Recipe", "design", "load"]


def __getattr__(name: str) -> Any:
    """The house comes with numpy, which a refused command need not wait for."""
    if name in ("House", "design", "load"):
        from genhouse import house

        return getattr(house, name)
    raise AttributeError(f"module 'genhouse' has no attribute {name!r}")
