"""Furnishing: the search against chance, and its time.

    python -m tests.benchmarks.bench_fittings

A hundred rooms with two fittings or more: the worth of the room as searched against the best of 200
random feasible placements of the same fittings (each stance drawn from those the bare room allows,
kept where the walk allows it, begun again where one finds no place).  In the smallest rooms chance,
given 200 tries, finds the best arrangement too: such draws are counted apart.
A hundred houses: the worth of all their rooms against the best of 200 random placements of the house.
Houses of 23 x 32: median times of what furnishes, gardens and lights them, each and together; and,
as machines drift, what a peer takes in the same run: the ``noise`` library over 512 x 512 points, one
at a time.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import ExitStack
from dataclasses import dataclass
from functools import lru_cache
from itertools import count, islice
from statistics import median
from time import process_time
from typing import NamedTuple
from unittest.mock import patch

from noise import pnoise2

from genhouse.core.draw import Draw, nth
from genhouse.generate import recipe as stages
from genhouse.generate.draws import Draws
from genhouse.generate.layout import lay_out
from genhouse.model.brief import Brief, Recipe
from genhouse.stages.fittings import furnish, sets_for, words_for
from genhouse.stages.furnishing.choices import Wish
from genhouse.stages.furnishing.floorplan import Floor, floorplans
from genhouse.stages.furnishing.search import Furnished
from genhouse.stages.furnishing.stances import Stance
from genhouse.stages.furnishing.worth import Stood, worth
from genhouse.traditions.loader import load_tradition

TIMBER = load_tradition("timber")
TRIES, HOUSES = 200, 100
FURNISH = ("floorplans", "plan_fittings", "plan_court", "plan_lamps")
"""The functions that furnish, garden and light a house."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Result:
    """A room's worth as searched; the best and mean of random placements."""

    kind: str
    size: tuple[int, int]
    search: int
    best: int
    mean: float


def furnished(seed: int) -> Iterator[Furnished]:
    """Every room of a seed's house, furnished."""
    found = lay_out(Draws(Recipe(seed=seed)))
    bays, rooms, roof = found.bays, found.rooms, found.roof
    by_id = {room.id: room for room in rooms.rooms}
    floors = floorplans(rooms, bays, roof)
    draw = Draw(seed).at("fittings")
    mine = [by_id[f.room] for f in floors]
    sets = sets_for(mine, TIMBER, draw)
    yield from furnish(mine, floors, rooms.hearth, TIMBER, words_for(floors, draw), sets)


def scattered(room: Furnished, word: int) -> list[Stood] | None:
    """The same fittings somewhere they may stand; None where one finds no place."""
    drawn = (nth(word, n) for n in count())
    order = sorted(range(room.fixed, len(room.wishes)), key=lambda _: next(drawn))
    placed = list(room.room[: room.fixed])
    for i in order:
        stood = _anywhere(room, room.wishes[i], placed, drawn)
        if stood is None:
            return None
        placed.append(stood)
    return placed


def _anywhere(
    room: Furnished, wish: Wish, placed: list[Stood], drawn: Iterator[int]
) -> Stood | None:
    here = taken_by(room.floor, [s.stance for s in placed])
    left = list(possible(room.floor, wish))
    while left:
        stance = left.pop(next(drawn) % len(left))
        if allowed(room.floor, here, stance):
            return Stood(wish.name, wish.fitting, stance)
    return None


class Taken(NamedTuple):
    """What fittings take of a floor.  solid: their cells.  keep: cells to walk on.

    islands: the cells of each fitting that is used from all round.
    """

    solid: int
    keep: int
    islands: tuple[int, ...]


def taken_by(floor: Floor, room: Sequence[Stance]) -> Taken:
    """What fittings in these stances take."""
    solid, keep = 0, floor.keep
    for stance in room:
        solid |= stance.solid
        keep |= stance.use
    return Taken(solid, keep, tuple(s.solid for s in room if not s.use))


def allowed(floor: Floor, taken: Taken, stance: Stance) -> bool:
    """Whether it takes no taken or kept cell, can be reached, and leaves all else so."""
    if stance.solid & (taken.solid | taken.keep) or stance.use & taken.solid:
        return False
    free = floor.free & ~taken.solid & ~stance.solid
    islands = taken.islands if stance.use else (*taken.islands, stance.solid)
    if not all(floor.spread(solid) & free for solid in islands):
        return False
    return floor.connected(free, taken.keep | stance.use)


@lru_cache(maxsize=64)
def possible(floor: Floor, wish: Wish) -> tuple[Stance, ...]:
    """The stances that the bare room allows."""
    fitting = wish.fitting
    shut = ~(floor.high[fitting.height - 1] & floor.free & ~floor.keep)
    near = floor.flue if fitting.fire else -1
    return tuple(
        s
        for s in wish.columns.stances
        if s.solid & near
        and not s.solid & shut
        and not s.use & ~floor.free
        and not s.tall & floor.lit
    )


def compare(seeds: Iterable[int]) -> Iterator[Result]:
    """Some rooms of each house; those with fewer than two fittings to move are passed over."""
    for seed in seeds:
        for n, room in enumerate(furnished(seed)):
            if n % 5 == seed % 5 and len(room.room) - room.fixed >= 2:
                scores = chances(room, seed * 1009 + n)
                if scores:
                    r = room.floor.rect
                    yield Result(
                        kind=", ".join(s.name for s in room.room[:2]),
                        size=(r.width, r.depth),
                        search=worth(room.floor, room.room),
                        best=max(scores),
                        mean=sum(scores) / len(scores),
                    )


def chances(room: Furnished, word: int) -> list[int]:
    """What random feasible placements of a room are worth, ``TRIES`` where so many are found."""
    words = (nth(word, k) for k in range(4 * TRIES))
    found = (p for p in (scattered(room, w) for w in words) if p is not None)
    return [worth(room.floor, p) for p in islice(found, TRIES)]


def houses_beaten(seeds: Iterable[int]) -> int:
    """Houses worth more, all rooms summed, than the best of as many random placements of the house.

    A room in which chance finds fewer placements than that counts with its best in all the rest.
    """
    beaten = 0
    for seed in seeds:
        searched, drawn = 0, [0] * TRIES
        for n, room in enumerate(furnished(seed)):
            scores = chances(room, seed * 1009 + n)
            if scores:
                searched += worth(room.floor, room.room)
                scores += [max(scores)] * (TRIES - len(scores))
                drawn = [a + b for a, b in zip(drawn, scores, strict=True)]
        beaten += searched > max(drawn)
    return beaten


def stage_times(seeds: Sequence[int], times: int = 5) -> dict[str, tuple[float, float]]:
    """Processor milliseconds of what furnishes a 23 x 32 house: of the median house, at each house's
    median and at its least, which a busy neighbour moves less."""
    houses: list[dict[str, tuple[float, float]]] = []
    for seed in seeds:
        spent: dict[str, list[float]] = {name: [] for name in FURNISH}
        with ExitStack() as watch:
            for name in FURNISH:
                clocked = _clocked(getattr(stages, name), spent[name])
                watch.enter_context(patch.object(stages, name, clocked))
            for _ in range(times):
                stages.design_house(Recipe(seed=seed, brief=Brief(plot=(23, 32))))
        each = {name: (median(found), min(found)) for name, found in spent.items()}
        together = tuple(map(sum, zip(*each.values(), strict=True)))
        houses.append(each | {"together": (together[0], together[1])})
    return {
        name: (median(h[name][0] for h in houses), median(h[name][1] for h in houses))
        for name in (*FURNISH, "together")
    }


def _clocked(work: Callable[..., object], spent: list[float]) -> Callable[..., object]:
    def call(*arguments: object) -> object:
        start = process_time()
        try:
            return work(*arguments)
        finally:
            spent.append(1000 * (process_time() - start))

    return call


def peer_time(side: int = 512, times: int = 3) -> float:
    """Processor milliseconds of gradient noise over so many points a side, point by point."""
    spent: list[float] = []
    work = _clocked(
        lambda: [pnoise2(x / 16, y / 16) for x in range(side) for y in range(side)], spent
    )
    for _ in range(times):
        work()
    return median(spent)


def main() -> None:
    results = list(islice(compare(range(400)), 100))
    above = sum(r.search > r.best for r in results)
    equal = sum(r.search == r.best for r in results)
    print(f"{len(results)} rooms: above the best of {TRIES} random placements in {above},")
    print(f"equal to it in {equal}, below it in {len(results) - above - equal}")
    gains = sorted(r.search - r.mean for r in results)
    print(f"above the random mean by {gains[0]:.1f} at least, {median(gains):.1f} at the median")
    for r in results:
        if r.search < r.best:
            print(f"  {r.kind}, {r.size[0]} x {r.size[1]}: {r.search}, chance {r.best}")
    print(f"{houses_beaten(range(HOUSES))} of {HOUSES} houses above the best of {TRIES} for them")
    before, times, after = peer_time(), stage_times(range(20)), peer_time()
    for name, (middling, least) in times.items():
        print(f"{name}: {middling:.1f} ms, {least:.1f} at the least")
    peer = (before + after) / 2
    part = times["together"][0] / peer
    print(f"noise, point by point: {peer:.0f} ms: together is {part:.2f} of it")


if __name__ == "__main__":
    main()
