"""Which traditions there are, and whether a brief asks for something they have; light to import."""

from __future__ import annotations

import difflib
import tomllib
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from genhouse.core.axes import SIDES
from genhouse.core.errors import BriefError, InfeasibleError
from genhouse.model.brief import LARGEST_PLOT, SMALLEST_PLOT, STAGE_NAMES, Brief, Recipe

SHELF = Path(__file__).parent
GARDENS = ("pond", "gravel", "moss", "grove")
SEED_BITS = 64


def names() -> tuple[str, ...]:
    """The traditions at hand, sorted."""
    return tuple(sorted(path.stem for path in SHELF.glob("*.toml")))


def tables(name: str) -> dict[str, Any]:
    """A tradition's TOML tables.  Raises BriefError for an unknown name."""
    check_name("tradition", name, names())
    return tomllib.loads((SHELF / f"{name}.toml").read_text("utf-8"))


def check_name(what: str, name: str, known: Iterable[str]) -> None:
    """Raises BriefError, with what would be right, where a name is not among those known."""
    known = tuple(known)
    if name not in known:
        close = difflib.get_close_matches(name, known, 1)
        hint = f"did you mean {close[0]!r}?" if close else f"try {', '.join(known)}"
        raise BriefError(f"{what}: there is no {what} {name!r}; {hint}")


def check_recipe(recipe: Recipe) -> None:
    """Raises BriefError or InfeasibleError for what no house can be made from."""
    for what, seed in (("seed", recipe.seed), *recipe.stage_seeds):
        if not 0 <= seed < 1 << SEED_BITS:
            raise BriefError(f"{what}: {seed} is not a whole number from 0 to 2**{SEED_BITS} - 1")
    for stage, _ in recipe.stage_seeds:
        check_name("stage", stage, STAGE_NAMES)
    check_brief(recipe.brief)


def check_brief(brief: Brief) -> None:
    """Raises BriefError for an unknown name and InfeasibleError for a plot no house fits on."""
    if brief.gate is not None:
        check_name("gate", brief.gate, SIDES)
    if brief.garden is not None:
        check_name("garden", brief.garden, GARDENS)
    palettes = tables(brief.tradition)["palette"] if brief.palette else ()
    if brief.palette is not None:
        check_name("palette", brief.palette, palettes)
    check_name("tradition", brief.tradition, names())
    if brief.plot is not None:
        _check_plot(brief.plot)


def _check_plot(plot: tuple[int, int]) -> None:
    bounds = tuple(zip(plot, SMALLEST_PLOT, LARGEST_PLOT, strict=True))
    for (size, least, most), way in zip(bounds, ("wide", "deep"), strict=True):
        if not least <= size <= most:
            limit = f"at least {least}" if size < least else f"at most {most}"
            near = " x ".join(str(min(max(n, low), high)) for n, low, high in bounds)
            raise InfeasibleError(
                f"plot: {plot[0]} x {plot[1]} does not do, it must be {limit} cells {way}",
                stage="site",
                offers=(near,),
            )
