"""Villages: ground, lanes, plots, and houses that belong there and are all different.

A village is laid out in the order in which one would settle: land and water; greens, and the lanes that
join them; plots along the lanes; houses, each made alone; all of it set on the ground, cut and filled; what
grows.  Its cells follow from that plan, piece by piece.

The package may be called as it stands:

>>> import genhouse
>>> genhouse.village(7, size=(192, 192), houses=2)
<Village 7: 192 x 192 cells, 2 houses>
"""

from __future__ import annotations

import sys
from types import ModuleType
from typing import Any


class _Callable(ModuleType):
    def __call__(self, *args: Any, **named: Any) -> Any:
        from genhouse.village.public import village

        return village(*args, **named)


sys.modules[__name__].__class__ = _Callable
