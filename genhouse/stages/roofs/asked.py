"""Whether a roof is what a client asks of it."""

from __future__ import annotations

from collections.abc import Iterator

from genhouse.model.brief import RoofWish
from genhouse.model.roof import RIDGED
from genhouse.stages.roofs.ends import Styles


def unmet(styles: Styles, lifted: bool, dormers: int, wish: RoofWish) -> Iterator[str]:
    """What is asked and not there, a sentence each.

    lifted: whether a corner of the eaves can be.  dormers: for how many there is room.
    """
    for wing, style in styles.items():
        asked = getattr(wish, wing.name, None)
        if asked not in (None, style.form):
            yield f"roof.{wing.name}: it cannot be {asked} here"
    forms = [style.form for style in styles.values()]
    if wish.form == "two-tier" and "two-tier" not in forms:
        yield "roof.form: no wing can carry a raised tier"
    if wish.profile and not {*forms} & {*RIDGED}:
        yield f"roof.profile: no wing has a {wish.profile} slope"
    if wish.swept and not lifted:
        yield "roof.swept: no corner of the eaves can be lifted"
    if dormers < (wish.dormers or 0):
        yield f"roof.dormers: there is room for {dormers}, not for {wish.dormers}"
