"""The seating search against chance, and against every seating there is.

    python -m tests.benchmarks.bench_rooms

A hundred briefs: the score of the plan beats 200 random feasible seatings of the same brief in at
least 95 of them.  Small plots, with the kinds that a small house has: the score equals the best of all
seatings, enumerated.  A brief with ten rooms on 30 x 40: the median processor time to lay it out.
"""

from __future__ import annotations

from dataclasses import replace
from statistics import median
from time import process_time

import pytest

from genhouse.core.draw import Draw
from genhouse.generate.draws import Draws
from genhouse.generate.layout import lay_out
from genhouse.model.brief import Brief, Recipe, Wish
from genhouse.stages.bays import plan_bays
from genhouse.stages.seats.places import places
from genhouse.stages.seats.programme import puzzle
from genhouse.stages.seats.search import seat
from genhouse.stages.seats.seating import Puzzle, judge, random_seating
from genhouse.stages.siting import plan_site
from genhouse.stages.ways.flights import plan_flight
from genhouse.traditions.loader import load_tradition
from tests.stages.seats.test_seating import every_seating

TIMBER = load_tradition("timber")
TEN = (
    Wish(kind="sleeping", count=3),
    Wish(kind="kitchen", beside=("dining",)),
    Wish(kind="dining"),
    Wish(kind="reception", court=True),
    Wish(kind="bath", away=("reception",)),
    Wish(kind="study", quiet=True),
    Wish(kind="pantry"),
    Wish(kind="guest"),
)
SMALL_HOUSE = ("kitchen", "dining", "reception", "sleeping", "bath")


def task(seed: int, plot: tuple[int, int] | None, wishes: tuple[Wish, ...] = ()) -> Puzzle:
    """The lower storey of a house as a puzzle."""
    site = plan_site(Brief(plot=plot), TIMBER, Draw(seed).at("site"))
    bays = plan_bays(site, TIMBER, Draw(seed).at("bays"))
    flight = plan_flight(site, bays, frozenset(), Draw(seed))
    taken = frozenset({flight.lower, flight.upper})
    floor = places(site, bays, taken, flight.room, 1)
    return puzzle(floor, [("stairhall", flight.room)], TIMBER, wishes, 1, Draw(seed))


def of_kinds(whole: Puzzle, kinds: tuple[str, ...]) -> Puzzle:
    """The same floor with fewer kinds, so that all seatings can be looked at."""
    kept = [n for n, ask in enumerate(whole.asks) if ask.kind in kinds]

    def moved(numbers: frozenset[int]) -> frozenset[int]:
        return frozenset(kept.index(n) for n in numbers if n in kept)

    return replace(
        whole,
        asks=tuple(
            replace(whole.asks[n], near=moved(whole.asks[n].near), far=moved(whole.asks[n].far))
            for n in kept
        ),
        fit=tuple(tuple(row[n] for n in kept) for row in whole.fit),
        unfit=tuple(tuple(row[n] for n in kept) for row in whole.unfit),
        settled=(),
    )


def beats_chance(seed: int, tries: int = 200) -> bool:
    """Whether the search beats every one of so many random seatings, the feasible ones first."""
    whole = task(seed, None, TEN if seed % 2 else ())
    found = seat(whole, Draw(seed))[1]
    chance = (judge(whole, random_seating(whole, Draw(seed, f"chance/{n}"))) for n in range(tries))
    return all(found.beats(other) for other in chance)


def is_optimal(seed: int, plot: tuple[int, int]) -> bool:
    small = of_kinds(task(seed, plot), SMALL_HOUSE)
    best = max((judge(small, s) for s in every_seating(small)), key=lambda v: (-v.faults, v.worth))
    return seat(small, Draw(seed))[1] == best


@pytest.mark.parametrize(("seed", "plot"), [(3, (17, 19)), (7, (18, 21)), (9, (17, 22))])
def test_small_plots_are_seated_to_the_optimum(seed: int, plot: tuple[int, int]) -> None:
    assert is_optimal(seed, plot)


def test_chance_is_beaten() -> None:
    assert sum(beats_chance(seed, 40) for seed in range(10)) >= 9


def main() -> None:
    print(f"beats 200 by chance in {sum(map(beats_chance, range(100)))} of 100 briefs")
    plots = [(17 + n % 3, 19 + n // 3) for n in range(12)]
    print(
        f"optimal on {sum(is_optimal(n, plot) for n, plot in enumerate(plots))} of 12 small plots"
    )
    times = []
    for seed in range(25):
        start = process_time()
        lay_out(Draws(Recipe(seed=seed, brief=Brief(plot=(30, 40), rooms=TEN))))
        times.append(process_time() - start)
    print(
        f"ten rooms on 30 x 40: median {1e3 * median(times):.0f} ms, worst {1e3 * max(times):.0f} ms"
    )


if __name__ == "__main__":
    main()
