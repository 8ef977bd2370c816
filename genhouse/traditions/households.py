"""Who lives in a house: what that makes of its programme, and of the kinds of room that it may have."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec.structs import replace

from genhouse.model.brief import Brief, Wish
from genhouse.traditions.tradition import Tradition

MOST_CELLS = 999
"""No room is larger."""


def programme_of(brief: Brief, tradition: Tradition) -> tuple[Wish, ...]:
    """The lines of a brief, and after them what its household needs of kinds that it does not name."""
    needs = (*_sleeping(brief, tradition), *_eating(brief, tradition), *_working(brief, tradition))
    own = {wish.kind for wish in brief.rooms}
    first = {wish.kind: wish for wish in reversed(needs) if wish.kind not in own}
    return (*brief.rooms, *reversed(first.values()))


def _sleeping(brief: Brief, tradition: Tradition) -> Iterator[Wish]:
    left = brief.people or 0
    for kind, each, cells, most in tradition.household.sleep:
        rooms = min(most, -(-left // each))
        if rooms:
            some = min(each, -(-left // rooms))
            yield _line(kind, rooms, some * cells, brief, tradition)
        left -= min(left, rooms * each)


def _eating(brief: Brief, tradition: Tradition) -> Iterator[Wish]:
    kind, cells, most = tradition.household.eat
    rooms = -(-(brief.people or 0) // most)
    if rooms:
        yield _line(kind, rooms, -(-(brief.people or 0) // rooms) * cells, brief, tradition)


def _working(brief: Brief, tradition: Tradition) -> Iterator[Wish]:
    for kind in dict(tradition.trades).get(brief.trade or "", ()):
        yield _line(kind, 1, 0, brief, tradition)


def _line(kind: str, count: int, cells: int, brief: Brief, tradition: Tradition) -> Wish:
    """A line of the programme; on one storey it lies below."""
    below = 1 if brief.storeys is not None and brief.storeys < tradition.kind(kind).level else None
    area = (max(cells, tradition.kind(kind).area[0]), MOST_CELLS) if cells else None
    return Wish(kind=kind, count=count, area=area, storey=below)


def for_household(tradition: Tradition, brief: Brief) -> Tradition:
    """The same way of building, but no kind of room, nor a second of it, that so many people, or others
    than those of their trade, have no use for."""
    house, most = tradition.household, dict.fromkeys(dict(tradition.kinds), MOST_CELLS)
    if brief.people:
        most |= {kind: 1 for kind, some in house.second if brief.people < some}
        most |= {kind: 0 for kind, some in house.larger if brief.people < some}
    if brief.trade:
        own = dict(tradition.trades)[brief.trade]
        most |= {kind: 0 for kind in house.crafts if kind not in own}
    return replace(
        tradition,
        kinds=tuple(
            (
                name,
                replace(kind, most=min(kind.most, most[name]), need=min(kind.need, most[name])),
            )
            for name, kind in tradition.kinds
        ),
    )


def superfluous(kinds: list[str], brief: Brief, tradition: Tradition) -> str:
    """What those who live there have no use for, of the kinds of room there are; empty where nothing.

    tradition: for their household.
    """
    house = tradition.household
    told = [kind for kind, _ in (*house.larger, *house.second)] * bool(brief.people)
    told += [*house.crafts] * bool(brief.trade)
    for kind in dict.fromkeys(told):
        most = tradition.kind(kind).most
        named = kind in {wish.kind for wish in programme_of(brief, tradition)}
        if not named and kinds.count(kind) > most:
            return (
                f"people: there would be {kinds.count(kind)} x {kind}, and they have use for {most}"
            )
    return ""
