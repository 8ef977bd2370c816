"""The desk: a page served to this machine on which a house is tried, changed, compared and taken away.

Every state is a recipe in an address (``address``).  What is shown of a recipe is pure work (``works``
names it) that benches do, processes of their own (``bench``), as the ``table`` hands it out: by turns,
what nobody waits for any longer left undone, what was done kept by its digest, up to a bound.  ``app``
says what is asked where, ``guard`` who may ask.

In a notebook the package may be called as it stands, and puts the model that turns on the page
(``pip install 'genhouse[notebook]'``):

>>> import genhouse
>>> widget = genhouse.desk(genhouse.design(7))
"""

from __future__ import annotations

import sys
from types import ModuleType
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from genhouse.house import House


class _Callable(ModuleType):
    def __call__(self, house: House) -> Any:
        from genhouse.desk.notebook import desk

        return desk(house)


sys.modules[__name__].__class__ = _Callable
