"""Storeys: which wings of a house of two are lower by one, and on which of these one walks."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace
from itertools import combinations

from genhouse.core.draw import Draw
from genhouse.core.errors import InfeasibleError
from genhouse.model.brief import Brief, RoofWish
from genhouse.stages._wings import Wing

LOWER = (1, 5)
"""How many of the houses of two storeys have a lower wing unasked."""
WALKED = (1, 3)
"""How many of these have a terrace on it unasked."""


def with_storeys(wings: Sequence[Wing], brief: Brief, draw: Draw) -> tuple[Wing, ...]:
    """The wings, each with its storeys; upper rooms stay one range, so that one stair serves them all.

    Raises InfeasibleError where a brief asks for lower wings that this house cannot have.
    """
    if brief.storeys == 1:
        return tuple(replace(wing, storeys=1) for wing in wings)
    low = _drawn(wings, draw) if brief.low is None else _asked(wings, brief.low)
    built = [replace(wing, storeys=1) if wing.name in low else wing for wing in wings]
    walked = _walked(built, brief.roof, draw)
    return tuple(replace(wing, terrace=wing.name in walked) for wing in built)


def _drawn(wings: Sequence[Wing], draw: Draw) -> tuple[str, ...]:
    """One lower wing, more seldom two."""
    if not draw.chance(*LOWER, "lower wing"):
        return ()
    names = tuple(dict.fromkeys(wing.name for wing in wings))
    sets = [low for n in (1, 2) for low in combinations(names, n) if one_range(wings, low)]
    return draw.choice(sets, "lower wings", [4 if len(low) == 1 else 1 for low in sets])


def _asked(wings: Sequence[Wing], low: Sequence[str]) -> tuple[str, ...]:
    names = {wing.name for wing in wings}
    for name in low:
        if name not in names:
            raise InfeasibleError(f"low: this house has no {name} wing", stage="site")
    if not one_range(wings, low):
        raise InfeasibleError(
            "low: the upper rooms would not hang together; leave a wing between them two storeys high",
            stage="site",
        )
    return tuple(low)


def one_range(wings: Sequence[Wing], low: Collection[str]) -> bool:
    """Whether the wings that stay high are one range, and there is one."""
    high = [wing for wing in wings if wing.name not in low]
    return bool(high) and len(_reached(high[:1], high)) == len(high)


def _walked(wings: Sequence[Wing], wish: RoofWish, draw: Draw) -> set[str]:
    """The lower wings with a terrace: flat as the brief asks, or drawn, and reached from upper rooms."""
    drawn = draw.chance(*WALKED, "terrace")
    flat = [
        wing
        for wing in wings
        if wing.storeys == 1
        and ((getattr(wish, wing.name) or wish.form or ("flat" if drawn else "")) == "flat")
    ]
    high = [wing for wing in wings if wing.storeys == 2]
    reached = _reached(high, [*high, *flat])
    return {wing.name for wing in flat if wing in reached}


def _reached(start: Sequence[Wing], among: Sequence[Wing]) -> list[Wing]:
    """All wings that a row of neighbours joins to some."""
    found = list(start)
    for wing in found:
        found += [w for w in among if w not in found and wing.rect.adjoins(w.rect)]
    return found
