"""A room is furnished again for what it lacks of what tells what it is for: that first; then all small."""

from __future__ import annotations

from collections import Counter
from itertools import dropwhile, product

from genhouse.stages.fittings import _wanted
from genhouse.stages.furnishing.beams import Beams
from genhouse.stages.furnishing.choices import words_of
from genhouse.stages.furnishing.floorplan import Floor
from genhouse.stages.furnishing.search import (
    MANY,
    Area,
    Either,
    _set,
    chosen_of,
    furnished,
    side_by_side,
)
from tests.houses import TIMBER
from tests.stages.furnishing.test_beams import room

ROOMS = [room(*size, door=door) for size in product((3, 4), (3, 4, 5)) for door in (0, 1)]
TELLING = [
    (*kind.fittings, *some) for _, kind in TIMBER.kinds if kind.level == 1 for some in kind.sets
]


def asked(floor: Floor, names: tuple[str, ...]) -> list[Either]:
    """What was chosen for a room, all of which tells what it is for."""
    wanted = _wanted(names, floor, dict(TIMBER.fittings), [0] * len(names), words_of([floor]))
    return chosen_of(wanted, len(names), Area.of(floor, 0), 0)


Standing = dict[int, str]
"""What stands for each of the names of a list, by its place in it."""


def once(beams: Beams, names: tuple[str, ...], lacked: Standing, stood: Standing) -> Standing:
    """What stands where each is set in turn: first those that lacked, as the smallest there is; then those
    that stood, as they did or smaller; all from the largest on where neither is said."""
    (floor,) = beams.floors
    chosen = asked(floor, names)
    if lacked or stood:
        by_rank = {either.rank: either for either in chosen}
        first = {**lacked, **stood}
        chosen = [_from(by_rank[rank], name) for rank, name in first.items()]
    ((_, found, _),) = side_by_side(
        beams, [_set(beams, 0, beams.empty(0), chosen, Area.of(floor, 0))]
    )
    return {either.rank: either.likely.name for either in found}


def _from(either: Either, name: str) -> Either:
    """The same from a smaller one on."""
    wishes = dropwhile(lambda wish: wish.name != name, either.wishes)
    return either._replace(wishes=wishes)


def told(names: tuple[str, ...], standing: Standing) -> set[int]:
    """Places of those that stand: a smaller one that is for something else tells nothing."""
    tags = {name: set(TIMBER.fitting(name).tags) for name in (*names, *standing.values())}
    return {rank for rank, name in standing.items() if tags[name] & tags[names[rank]]}


def sooner(a: set[int], b: set[int]) -> bool:
    """Whether the first on which they differ, of what tells most, is among the former."""
    return min(a ^ b, default=MANY) in a


def whole(names: tuple[str, ...], standing: Standing, chosen: list[int]) -> bool:
    return told(names, standing) == set(chosen)


def telling(floor: Floor, names: tuple[str, ...]) -> Standing:
    """The smallest of each that is for what the fitting itself is for, in their order."""
    found: Standing = {}
    for either in sorted(asked(floor, names), key=lambda e: e.rank):
        tags = {*TIMBER.fitting(names[either.rank]).tags}
        found[either.rank] = [w.name for w in either.wishes if tags & {*w.fitting.tags}][-1]
    return found


def smallest(floor: Floor, names: tuple[str, ...], lacks: list[int]) -> Standing:
    return {e.rank: [*e.wishes][-1].name for e in asked(floor, names) if e.rank in lacks}


def test_a_room_is_furnished_again_for_what_it_lacks() -> None:
    """It stays as it was where it lacks nothing, or where it would only lack what tells more."""
    outcomes: Counter[str] = Counter()
    for floor, names in product(ROOMS, TELLING):
        beams, chosen = Beams([floor], 1 + TIMBER.most), asked(floor, names)
        ranks = [either.rank for either in chosen]
        asking = furnished(beams, 0, (), chosen, iter(()), Area.of(floor, 0))
        (found,) = side_by_side(beams, [asking])
        final = sorted(wish.name for wish in found.wishes)
        first = once(beams, names, {}, {})
        expected, outcome = first, "whole"
        if lacks := [rank for rank in ranks if rank not in first]:
            outcome = "no better"
            again = once(beams, names, smallest(floor, names, lacks), first)
            if sooner(told(names, again), told(names, first)):
                expected, outcome = again, "again"
            if not whole(names, expected, ranks):
                least = once(beams, names, telling(floor, names), {})
                if sooner(told(names, least), told(names, expected)):
                    expected, outcome = least, "all small"
        assert final == sorted(expected.values()), (floor.rect, names)
        outcomes[outcome] += 1
    assert min(outcomes[each] for each in ("whole", "again", "all small", "no better")) > 4, (
        outcomes
    )
