"""The seating search against an exact solver: on small plots it finds a seating just where there is one.

The solver is CP-SAT of OR-tools (L. Perron and F. Didier, Google), given the puzzle's hard wishes alone.

    python -m tests.stages.seats.test_exact_solver 600      so many puzzles
"""

from __future__ import annotations

import sys
from collections import Counter

import pytest
from ortools.sat.python import cp_model

from genhouse.core.draw import Draw
from genhouse.core.errors import InfeasibleError
from genhouse.model.brief import Brief, Wish
from genhouse.stages.bays import plan_bays
from genhouse.stages.seats.places import places
from genhouse.stages.seats.programme import puzzle
from genhouse.stages.seats.search import seat
from genhouse.stages.seats.seating import Puzzle, hopeless
from genhouse.stages.siting import plan_site
from genhouse.stages.ways.flights import plan_flight
from tests.houses import TIMBER

PLOTS = ((17, 19), (18, 21), (19, 23), (21, 25))
KINDS = [
    name for name, kind in TIMBER.kinds if kind.level == 1 and name not in ("entry", "stairhall")
]
PUZZLES = 120


def programme(draw: Draw) -> tuple[Wish, ...]:
    """A few lines by chance, so that about a third can be seated on a small plot."""
    kinds = draw.shuffled(KINDS, "kinds")[: 1 + draw.below(4, "lines")]
    found = []
    for n, kind in enumerate(kinds):
        here = draw.at(n)
        least = 9 + here.below(10, "least")
        area = (least, least + here.below(20, "more")) if here.chance(1, 3, "area?") else None
        found.append(
            Wish(
                kind=kind,
                count=1 + here.below(2, "count"),
                area=area,
                beside=(here.choice(kinds, "beside"),) if here.chance(1, 4, "beside?") else (),
                beside_any=tuple(kinds[:2]) if here.chance(1, 6, "any?") else (),
                away=(here.choice(KINDS, "away"),) if here.chance(1, 3, "away?") else (),
                court=True if here.chance(1, 4, "court?") else None,
            )
        )
    return tuple(found)


def task(seed: int) -> Puzzle | None:
    """The lower floor of a small house and a programme by chance; None where no stair fits."""
    brief, draw = Brief(plot=PLOTS[seed % len(PLOTS)], gate="south"), Draw(seed)
    site = plan_site(brief, TIMBER, draw.at("site"))
    bays = plan_bays(site, TIMBER, draw.at("bays"))
    try:
        flight = plan_flight(site, bays, frozenset(), draw)
    except InfeasibleError:
        return None
    floor = places(site, bays, frozenset({flight.lower, flight.upper}), flight.room, 1)
    wishes = programme(draw.at("programme"))
    return puzzle(floor, [("stairhall", flight.room)], TIMBER, wishes, 1, draw)


def can_be_seated(task: Puzzle) -> bool:
    """Whether some exact cover of the floor keeps every hard wish."""
    model = cp_model.CpModel()
    here = {
        (p, n): model.new_bool_var(f"{p} is {ask.kind}")
        for p in range(len(task.places))
        for n, ask in enumerate(task.asks)
        if not task.unfit[p][n]
    }
    for atom in range(task.atoms.bit_length()):
        model.add_exactly_one(v for (p, _), v in here.items() if task.places[p] >> atom & 1)
    for n, ask in enumerate(task.asks):
        count = sum(v for (_, m), v in here.items() if m == n)
        model.add(count >= ask.least)
        model.add(count <= ask.most)
    rooms = [(v, n, task.touching[p], _settled_by(task, p)) for (p, n), v in here.items()]
    rooms += [(None, room.ask, room.places, room.around) for room in task.settled]
    for var, n, around, known in rooms:
        off = [] if var is None else [var.negated()]
        for group in task.asks[n].beside:
            if not group & known:
                near = [w for (q, m), w in here.items() if q in around and m in group]
                model.add_bool_or(off + near)
        for (q, m), other in here.items():
            if q in around and m in task.asks[n].away:
                model.add_bool_or([*off, other.negated()])
        if known & task.asks[n].away:
            model.add_bool_or(off)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    status = solver.solve(model)
    assert status in (cp_model.OPTIMAL, cp_model.FEASIBLE, cp_model.INFEASIBLE)
    return bool(status != cp_model.INFEASIBLE)


def _settled_by(task: Puzzle, place: int) -> frozenset[int]:
    return frozenset(room.ask for room in task.settled if place in room.places)


def verdicts(seeds: range) -> Counter[tuple[bool, bool]]:
    """How often each was said: by the search, by the solver."""
    found: Counter[tuple[bool, bool]] = Counter()
    for seed in seeds:
        if (small := task(seed)) is not None:
            seated = not hopeless(small) and seat(small, Draw(seed))[1].faults == 0
            found[seated, can_be_seated(small)] += 1
    return found


@pytest.mark.parametrize("part", range(2))
def test_what_is_refused_on_a_small_plot_cannot_be_seated(part: int) -> None:
    found = verdicts(range(part * PUZZLES // 2, (part + 1) * PUZZLES // 2))
    assert found[False, True] == 0, "a false refusal"
    assert found[True, False] == 0, "a wish that is not kept"
    assert min(found[True, True], found[False, False]) >= 10


if __name__ == "__main__":
    print(verdicts(range(int(sys.argv[1]) if sys.argv[1:] else 600)))
