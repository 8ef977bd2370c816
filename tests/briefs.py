"""Whole random briefs for the tests: by number, and by hypothesis, both by the package's own rule."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeVar

from hypothesis import strategies as st

from genhouse.generate.mixed import drawn_recipe, recipe
from genhouse.generate.remade import line
from genhouse.model.brief import Recipe

__all__ = ["line", "recipe", "recipes"]

T = TypeVar("T")


@dataclass(frozen=True)
class Tried:
    """Hypothesis as a chooser."""

    draw: st.DrawFn

    def at(self, *_: object) -> Tried:
        return self

    def between(self, low: int, high: int, _: str) -> int:
        return self.draw(st.integers(low, high))

    def chance(self, part: int, whole: int, _: str) -> bool:
        return self.draw(st.integers(0, whole - 1)) >= whole - part

    def choice(self, options: Sequence[T], _: str) -> T:
        return self.draw(st.sampled_from(options))


@st.composite
def recipes(draw: st.DrawFn) -> Recipe:
    """Whole recipes for hypothesis."""
    return drawn_recipe(Tried(draw))
