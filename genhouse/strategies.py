"""Strategies for hypothesis: briefs, recipes, houses, and houses with a fault.

``pip install 'genhouse[testing]'`` brings what they need.

>>> from hypothesis import given, settings
>>> @settings(max_examples=2, database=None, deadline=None)
... @given(houses(briefs(plot=(20, 23))))
... def test_every_house_has_a_court(house):
...     assert house.plan.courts
>>> test_every_house_has_a_court()
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, TypeVar

from hypothesis import reject
from hypothesis import strategies as st

from genhouse.broken import FAULTS, Broken, broken, places
from genhouse.core.errors import BriefError, GenhouseError
from genhouse.core.sentences import closest
from genhouse.generate.mixed import drawn_brief, drawn_seeds
from genhouse.generate.taken import brief_of, recipe_of
from genhouse.house import House, make
from genhouse.model.brief import Brief, Recipe

__all__ = ["briefs", "broken_houses", "houses", "recipes"]

T = TypeVar("T")
SEEDS = st.integers(0, (1 << 64) - 1)


@dataclass(frozen=True)
class _Tried:
    """Hypothesis as what chooses: no, the least and the first are the simplest."""

    draw: st.DrawFn

    def at(self, *_: object) -> _Tried:
        return self

    def between(self, low: int, high: int, _: str) -> int:
        return self.draw(st.integers(low, high))

    def chance(self, part: int, whole: int, _: str) -> bool:
        return self.draw(st.integers(0, whole - 1)) >= whole - part

    def choice(self, options: Sequence[T], _: str) -> T:
        return self.draw(st.sampled_from(options))


@st.composite
def _mixed(draw: st.DrawFn) -> Brief:
    return drawn_brief(_Tried(draw))


@st.composite
def briefs(draw: st.DrawFn, /, **keys: Any) -> Brief:
    """Briefs, most of which do not contradict themselves; they shrink to one that says nothing.

    keys: of a brief, with their values; then these alone are said.  Raises BriefError where they make
    no sense.

    >>> briefs(plot=(20, 23)).example().plot  # doctest: +SKIP
    (20, 23)
    """
    return brief_of(keys) if keys else draw(_mixed())


@st.composite
def recipes(draw: st.DrawFn, /, of: st.SearchStrategy[Brief] | None = None) -> Recipe:
    """Recipes: a seed, a brief, and perhaps seeds of their own for some stages.

    of: which briefs; those of ``briefs()`` if not given, and no seeds of stages' own if given.  They
    shrink to seed 0 and the simplest brief.
    """
    seed = draw(SEEDS)
    if of is not None:
        return recipe_of(seed, draw(of))
    return Recipe(seed=seed, brief=draw(_mixed()), stage_seeds=drawn_seeds(_Tried(draw)))


@st.composite
def houses(draw: st.DrawFn, /, of: st.SearchStrategy[Brief] | None = None) -> House:
    """Houses, each of them sound; what no house answers is not drawn.

    of: their briefs; of small plots and all else left to the seed, if not given.  They shrink to seed 0
    and the simplest brief.
    """
    recipe = recipe_of(draw(SEEDS), draw(_SMALL if of is None else of))
    try:
        return make(recipe)
    except GenhouseError:
        reject()


@st.composite
def broken_houses(
    draw: st.DrawFn, /, of: st.SearchStrategy[House] | None = None, faults: Sequence[str] = ()
) -> Broken:
    """Good houses with one named fault planted, and where: ``house``, ``good``, ``fault``, ``where``.

    of: which houses; those of ``houses()`` if not given.  faults: their names, of those in
    ``genhouse.broken.FAULTS``; all if not given.  Raises BriefError for an unknown one.
    """
    for name in faults:
        if name not in FAULTS:
            raise BriefError(f"fault: there is none called {name!r}; {closest(name, FAULTS)}")
    house = draw(houses() if of is None else of)
    fault = draw(st.sampled_from(tuple(faults) or tuple(FAULTS)))
    found = places(house, fault)
    if not found:
        reject()
    return broken(house, fault, draw(st.integers(0, len(found) - 1)))


_SMALL = st.builds(
    lambda width, depth: Brief(plot=(width, depth)), st.integers(18, 24), st.integers(20, 28)
)
