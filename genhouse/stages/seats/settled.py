"""Rooms that have their place before the others: whether one is as a client's programme asks."""

from __future__ import annotations

from collections.abc import Sequence

from genhouse.core.box import Rect
from genhouse.model.brief import Wish
from genhouse.stages.seats.places import opens
from genhouse.stages.seats.programme import touch
from genhouse.stages.site import Site

Settled = Sequence[tuple[str, Rect]]
"""Kinds and floors of rooms that have their place."""


def suits(kind: str, rect: Rect, site: Site, others: Settled, wishes: Sequence[Wish]) -> bool:
    """Whether a floor does for a kind beside those others.

    Neighbours that are not settled yet are left to the search.
    """
    beside = {name for name, other in others if touch(other, rect)}
    for wish in wishes:
        if wish.kind == kind and wish.count:
            away, groups = beside & {*wish.away}, wish.neighbours
            least, most = wish.area or (0, rect.area)
            if (
                away
                or not least <= rect.area <= most
                or wish.court not in (None, opens(site, rect))
            ):
                return False
            if not all(beside & {*group} for group in groups if {*group} <= {n for n, _ in others}):
                return False
        if wish.kind in beside and wish.count and kind in wish.away:
            return False
    return True
