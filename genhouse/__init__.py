"""genhouse: courtyard houses for block worlds, from a seed.

A house is designed in the order in which it is built.  A *recipe* (seed and brief) goes through the
*stages*: site, bays, rooms, frame, walls, floors, mats, screens, roof, court, fittings, lamps.  Each
adds parts and changes none; the parts are cut into *cells*; an *inspection* that knows only the cells
passes or fails the house; the *outputs* explain it.

``design`` makes a house from a seed and a brief, ``make`` from a recipe, ``load`` reads a saved one,
``inspect`` judges it; ``ideas`` and ``variants`` choose among many, ``figures`` counts them, ``village``
fills a map with them, ``desk`` puts one on a notebook's page.

>>> import genhouse
>>> house = genhouse.design(7)
>>> house.inspect().clean
True
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from genhouse.core.errors import (
    BriefError,
    GenhouseError,
    InfeasibleError,
    StoppedError,
    TraditionError,
    UnreadableError,
    VersionError,
    WriteError,
)
from genhouse.core.version import __version__ as __version__
from genhouse.model.brief import Brief, Ground, Recipe, RoofWish, Sides, Wish

if TYPE_CHECKING:
    from genhouse.desk.notebook import desk
    from genhouse.house import House, design, inspect, load, make
    from genhouse.inspection import Report
    from genhouse.many.choose import Choice
    from genhouse.many.public import ideas, variants
    from genhouse.many.variants import Variant, Variants
    from genhouse.survey.table import figures
    from genhouse.village.public import village

__all__ = [
    "Brief",
    "BriefError",
    "Choice",
    "GenhouseError",
    "Ground",
    "House",
    "InfeasibleError",
    "Recipe",
    "Report",
    "RoofWish",
    "Sides",
    "StoppedError",
    "TraditionError",
    "UnreadableError",
    "Variant",
    "Variants",
    "VersionError",
    "Wish",
    "WriteError",
    "design",
    "desk",
    "figures",
    "ideas",
    "inspect",
    "load",
    "make",
    "variants",
    "village",
]

_HEAVY = {
    "desk": "desk.notebook",
    "House": "house",
    "design": "house",
    "inspect": "house",
    "load": "house",
    "make": "house",
    "Report": "inspection",
    "Choice": "many.choose",
    "ideas": "many.public",
    "variants": "many.public",
    "Variant": "many.variants",
    "Variants": "many.variants",
    "village": "village.public",
    "figures": "survey.table",
}
"""Where the rest is found once it is asked for: it comes with numpy, which a refused command need not
wait for."""


def __getattr__(name: str) -> Any:
    if name in _HEAVY:
        from importlib import import_module

        return getattr(import_module(f"genhouse.{_HEAVY[name]}"), name)
    raise AttributeError(f"module 'genhouse' has no attribute {name!r}")


def __dir__() -> list[str]:
    """The public face, and no more."""
    return [*__all__, "__doc__", "__file__", "__name__", "__path__", "__version__"]
