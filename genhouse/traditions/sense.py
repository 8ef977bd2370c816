"""What no house can answer, whatever its seed and plot: a brief that contradicts itself.

Each law is proven from the brief and the tradition's tables alone; all else is for the search to find.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from genhouse.core.errors import BriefError
from genhouse.model.brief import Brief, Wish
from genhouse.model.roof import HIPPED, RIDGED, WINGS

Kinds = Mapping[str, Any]


class Storeyed(NamedTuple):
    """may: numbers of storeys that a house may have.  why: as a refusal tells it."""

    may: tuple[int, ...]
    why: str = ""


ANY = Storeyed((1, 2, 3))
STOREYS = {
    "lookout": Storeyed((3,), "has 3"),
    "lean-to": Storeyed((2, 3), "leans on a higher wing"),
}
"""Arrangements that leave no free choice of storeys."""
HALLS = (
    "halls",
    "gated-halls",
    "backed-halls",
    "deep-halls",
    "flanked-halls",
    "backed-flanked-halls",
)
YARDS = (
    "forecourt",
    "side-yard",
    "walled-garden",
    "garden-range",
    "garden-wing",
    "side-range",
    *HALLS,
)
"""Arrangements with a walled court beside those of the ring."""


def hearth_of(kinds: Kinds) -> str:
    """The kind that every house has, below: its hearth stands there."""
    return next(kind for kind, table in kinds.items() if table.get("hearth") == kind)


def once(kinds: Kinds, *offices: str) -> dict[str, int]:
    """Kinds that a house has once, if at all, each on its storey: the way in, the way up, and its head."""
    return {
        kind: table["level"]
        for kind, table in kinds.items()
        if any(table.get(office) for office in offices or ("arrival", "climbs", "head"))
    }


def check_sense(brief: Brief, kinds: Kinds) -> None:
    """Raises BriefError for the first contradiction.  kinds: the tradition's tables of rooms."""
    lines = (*of_arrangement(brief), *_of_lines(brief, kinds), *_of_kinds(brief, kinds))
    for sentence in (*lines, *_of_roof(brief)):
        raise BriefError(sentence)


def storeys_meant(brief: Brief, kinds: Kinds) -> tuple[int, ...]:
    """Numbers of storeys with which a house could be as a brief asks: its own, or those it leaves open."""
    if brief.storeys is not None:
        return (brief.storeys,)
    may = STOREYS.get(brief.arrangement or "", ANY).may
    if len(may) == 1:
        return may
    ways = once(kinds, "climbs", "head")
    if any(not wish.count for wish in brief.rooms if wish.kind in ways):
        return (1,)
    above = any(
        wish.count and (wish.kind in ways or (wish.storey or kinds[wish.kind]["level"]) > 1)
        for wish in brief.rooms
    )
    flights = max((sum(w.count for w in brief.rooms if w.kind == kind) for kind in ways), default=0)
    if flights > 1 or any(wish.count and (wish.storey or 0) > 2 for wish in brief.rooms):
        return (3,)
    if above or brief.low is not None or brief.gallery or brief.roof.dormers:
        return (2,)
    return may


def of_arrangement(brief: Brief) -> Iterator[str]:
    """What the arrangement says against the number of storeys and of courts."""
    may, why = STOREYS.get(brief.arrangement or "", ANY)
    if brief.storeys is not None and brief.storeys not in may:
        yield f"storeys: a {brief.arrangement} {why}; ask for storeys = {may[0]}, or leave it out"
    if brief.arrangement == "lean-to" and brief.roof.form == "inward":
        yield "roof.form: a lean-to at the back falls outward, inward roofs to the court; leave one out"
    if brief.arrangement in YARDS:
        for key in ("closed", "courts"):
            if getattr(brief, key) is not None:
                yield f"{key}: a {brief.arrangement} has a walled court of its own; leave {key} out"


def _of_lines(brief: Brief, kinds: Kinds) -> Iterator[str]:
    """What one line of the programme says against itself or against the number of storeys."""
    fixed = (hearth_of(kinds), *once(kinds)) if brief.rooms else ()
    ways = once(kinds, "climbs", "head")
    for n, wish in enumerate(brief.rooms):
        where = f"rooms[{n}]"
        if wish.count == 0 and wish != Wish(kind=wish.kind, count=0):
            yield f"{where}: it asks for no {wish.kind}; say nothing more of it, or ask for 1"
        storey = wish.storey or kinds[wish.kind]["level"]
        if wish.count and brief.storeys is not None and storey > brief.storeys:
            there = "is asked for above" if wish.storey else "lies above"
            yield (
                f"{where}: {wish.kind} {there}, and storeys = {brief.storeys} leaves no storey {storey}; "
                f"give storey = {brief.storeys}, or leave storeys out"
            )
        own = kinds[wish.kind]["level"] if wish.kind in fixed else storey
        again = wish.kind in ways and storey > own and brief.storeys != 2
        if wish.count and storey != own and not again:
            there = "below" if own == 1 else "above"
            yield f"{where}.storey: {wish.kind} lies {there}, on storey {own}"
        for kind in sorted({*wish.beside} & {*wish.away}):
            yield f"{where}: {kind} is wanted beside it and away from it; leave one of them out"


def _of_kinds(brief: Brief, kinds: Kinds) -> Iterator[str]:
    """What the lines of a programme say against each other."""
    counts: dict[str, int] = {}
    storeys: dict[str, set[int]] = {}
    for wish in brief.rooms:
        counts[wish.kind] = counts.get(wish.kind, 0) + wish.count
        storeys.setdefault(wish.kind, set()).add(wish.storey or kinds[wish.kind]["level"])
    for n, wish in enumerate(brief.rooms):
        where, kind = f"rooms[{n}]", wish.kind
        if not wish.count and counts[kind]:
            yield f"{where}: it asks for no {kind}, and another line asks for {counts[kind]}"
        if words := _too_many(kind, counts[kind], brief, kinds):
            yield f"{where}.count: {words}, not {counts[kind]}"
        if wish.count:
            own = wish.storey or kinds[kind]["level"]
            for group in wish.neighbours:
                if words := _apart(kind, own, group, counts, storeys, kinds):
                    yield f"{where}: {words}"
    for kind in [hearth_of(kinds)] if 0 in counts.values() else []:
        if counts.get(kind) == 0:
            yield f"rooms: every house has a {kind} for its hearth; leave its line out, or ask for 1"
    for kind in once(kinds, "climbs", "head"):
        if counts.get(kind) == 0 and (brief.storeys or 1) > 1:
            yield f"rooms: with upper storeys there is a {kind}; ask for storeys = 1, or leave its line out"
        if counts.get(kind) and brief.storeys == 1:
            yield f"rooms: a house of one storey has no {kind}; leave its line, or storeys, out"


def _too_many(kind: str, count: int, brief: Brief, kinds: Kinds) -> str:
    """How many a house has of a kind of which there is one, or one for each flight; empty where so many."""
    flights = (1, 2) if brief.storeys is None else (brief.storeys - 1,)
    due = flights if kind in once(kinds, "climbs", "head") else (1,)
    if kind not in once(kinds) or count in (0, *due) or due == (0,):
        return ""
    where = f"a house of {brief.storeys} storeys" if due == (2,) else "a house"
    return f"{where} has {' or '.join('one' if n == 1 else f'{n} x' for n in due)} {kind}"


def _apart(
    kind: str,
    storey: int,
    group: tuple[str, ...],
    counts: Mapping[str, int],
    storeys: Mapping[str, set[int]],
    kinds: Kinds,
) -> str:
    """Why no room of a group of kinds can share a wall with one of this kind; empty where one can."""
    reasons = []
    for other in group:
        if other == kind and counts[kind] == 1:
            reasons.append(f"it is wanted beside another {kind}, and there is one")
        elif counts.get(other) == 0:
            reasons.append(f"it is wanted beside {other}, and another line asks for none")
        elif storey not in storeys.get(other, {kinds[other]["level"]}):
            reasons.append(
                f"{other} is not on its storey, {storey}: give one of them another storey"
            )
    return reasons[0] if len(reasons) == len(group) else ""


def _of_roof(brief: Brief) -> Iterator[str]:
    """Details of a roof that no wing could have."""
    wish = brief.roof
    named = [getattr(wish, wing) for wing in WINGS]
    rest: list[str] = [wish.form] if wish.form else [*RIDGED]
    if wish.form == "two-tier":  # one wing carries the tier, the others are hipped
        rest.append("hip")
    forms = [form or other for form in named for other in rest]
    # Where the rest leans to the court, a cross wing between two courts is gabled.
    gabled = wish.form in ("inward", "lean-to") and wish.cross is None and brief.courts != 1
    if wish.profile and not gabled and not {*forms} & {*RIDGED}:
        yield f"roof.profile: lean-tos and flat roofs have no {wish.profile} slope; leave it out"
    through = [form or other for form in (wish.front, wish.rear) for other in rest]
    if wish.swept and not {*through} & {*HIPPED}:
        yield "roof.swept: corners are lifted where hips meet, at the front or the rear; try hip there"
    if wish.front == wish.rear == "two-tier":
        yield "roof.rear: a house carries one raised tier, and roof.front asks for it; try hip"
    if wish.dormers and brief.storeys == 1:
        yield "roof.dormers: they light upper rooms, and storeys = 1 leaves none"
    if wish.dormers and not {*through} & {"gable", "hip", "hip-and-gable"}:
        yield "roof.dormers: they stand on a gabled or hipped front or rear; try gable there"
