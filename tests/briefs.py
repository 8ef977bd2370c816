"""Whole random briefs for the tests: by number, and by hypothesis, both by the package's own rule."""

from __future__ import annotations

from genhouse.generate.mixed import recipe
from genhouse.generate.remade import line
from genhouse.strategies import recipes

__all__ = ["line", "recipe", "recipes"]
