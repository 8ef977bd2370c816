"""The seating search: against every seating there is, and against seatings by chance."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import pytest

from genhouse.core.draw import Draw
from genhouse.stages.seats.exact import exact
from genhouse.stages.seats.search import _Table, seat
from genhouse.stages.seats.seating import (
    AGAIN,
    LIKING,
    SEAT,
    STRUNG,
    Ask,
    Puzzle,
    Seat,
    Seating,
    Settled,
    Verdict,
    Weights,
    hopeless,
    judge,
    random_seating,
)


def row_puzzle(rows: tuple[int, ...], kinds: int, seed: int) -> Puzzle:
    """Rows of bays, rooms of one or two of them, likes and scores by chance."""
    draw = Draw(seed, "puzzle")
    spans: list[tuple[int, int]] = []
    first = 0
    for row in rows:
        spans += [(first + i, first + i + n) for n in (1, 2) for i in range(row - n + 1)]
        first += row

    def kind(n: int) -> Ask:
        here = draw.at("kind", n)
        near, far = here.below(kinds, "near"), here.below(kinds, "far")
        most = here.choice((1, 1, 2, 4), "most")
        return Ask(
            kind=str(n), least=int(n < 2), most=most, near=frozenset({near}), far=frozenset({far})
        )

    return Puzzle(
        atoms=(1 << first) - 1,
        places=tuple((1 << b) - (1 << a) for a, b in spans),
        touching=tuple(
            frozenset(j for j, (c, d) in enumerate(spans) if d == a or c == b) for a, b in spans
        ),
        asks=tuple(kind(n) for n in range(kinds)),
        fit=tuple(
            tuple(draw.at(p, n).below(40, "fit") - 30 for n in range(kinds))
            for p in range(len(spans))
        ),
        unfit=tuple((0,) * kinds for _ in spans),
    )


def every_seating(puzzle: Puzzle) -> Iterator[Seating]:
    """Each full seating there is."""

    def cover(covered: int, seats: tuple[Seat, ...]) -> Iterator[Seating]:
        free = puzzle.atoms & ~covered
        if not free:
            yield tuple(sorted(seats))
            return
        for place in puzzle.starting(free & -free):
            if puzzle.places[place] & ~free == 0:
                for n in range(len(puzzle.asks)):
                    yield from cover(covered | puzzle.places[place], (*seats, Seat(place, n)))

    return cover(0, ())


def rank(verdict: Verdict) -> tuple[int, int]:
    return -verdict.faults, verdict.worth


@pytest.mark.parametrize("seed", range(12))
def test_small_puzzles_are_solved_to_the_optimum(seed: int) -> None:
    """The reference is plain enumeration of every exact cover and every choice of kinds."""
    task = row_puzzle((2, 2), 4, seed)
    best = max((judge(task, s) for s in every_seating(task)), key=rank)
    assert seat(task, Draw(seed))[1] == best


def with_wishes(plain: Puzzle, seed: int) -> Puzzle:
    """The same floor with hard wishes by chance, so many that some must go unmet."""
    draw = Draw(seed, "wishes")
    kinds = len(plain.asks)

    def asked(n: int) -> Ask:
        here = draw.at("kind", n)
        return replace(
            plain.asks[n],
            least=here.below(3, "least"),
            most=1 + here.below(2, "most"),
            grave=here.choice((1, 1, 4), "grave"),
            beside=tuple(
                frozenset({here.below(kinds, f"beside/{n}"), here.below(kinds, f"or/{n}")})
                for n in range(here.below(3, "needy"))
            ),
            away=frozenset({here.below(kinds, "away")} if here.below(2, "apart") else ()),
            private=here.chance(1, 2, "private"),
        )

    return replace(
        plain,
        asks=tuple(map(asked, range(kinds))),
        unfit=tuple(
            tuple(int(draw.at(p, n).below(4, "unfit") == 0) for n in range(kinds))
            for p in range(len(plain.places))
        ),
        settled=(
            Settled(frozenset({0, 1}), draw.below(kinds, "settled"), frozenset({0})),
            Settled(frozenset({1, 2}), draw.below(kinds, "settled too")),
        ),
        inner=frozenset(p for p in range(len(plain.places)) if draw.chance(1, 2, f"inner/{p}")),
        walks=(frozenset({0, 2}),),
        table=tuple(
            tuple(draw.below(5, f"table/{p}/{n}") - 2 for n in range(kinds))
            for p in range(len(plain.places))
        ),
    )


@pytest.mark.parametrize("rows", [(4,), (2, 2), (1, 3)])
@pytest.mark.parametrize("seed", range(8))
def test_the_proof_finds_the_optimum_from_any_start(seed: int, rows: tuple[int, ...]) -> None:
    """Against plain enumeration, from the worst seating of all, hard wishes or none."""
    plain = row_puzzle(rows, 4, seed)
    for task in (plain, with_wishes(plain, seed)):
        ranked = sorted(every_seating(task), key=lambda s: rank(judge(task, s)))
        found = exact(task, Weights(task), ranked[0], 10**6)
        assert judge(task, found) == judge(task, ranked[-1])


def test_the_proof_stops_where_its_steps_are_used() -> None:
    task = row_puzzle((2, 2), 4, 1)
    ranked = sorted(every_seating(task), key=lambda s: rank(judge(task, s)))
    worths = [
        rank(judge(task, exact(task, Weights(task), ranked[0], steps)))
        for steps in (0, 5, 50, 5000)
    ]
    assert worths == sorted(worths)
    assert worths[0] == rank(judge(task, ranked[0]))
    assert worths[-1] == rank(judge(task, ranked[-1]))


@pytest.mark.parametrize("seed", range(6))
def test_the_search_beats_two_hundred_seatings_by_chance(seed: int) -> None:
    task = row_puzzle((4, 3, 3), 8, seed)
    found = seat(task, Draw(seed))[1]
    chance = [judge(task, random_seating(task, Draw(seed, f"chance/{n}"))) for n in range(200)]
    assert rank(found) > max(map(rank, chance))


def recuts(table: _Table, rooms: list[int]) -> Iterator[tuple[set[int], int, dict[int, int]]]:
    """Each recut of a table: the places cleared, what it is said to be worth, the new rooms."""
    for a in rooms:
        yield from (({a}, worth, dict(new)) for worth, new in table._split(a))
        for b, whole, shares in (way for way in table._ways(a) if way[0] in rooms):
            joined = table._joined(a, b, whole) if whole is not None else ()
            for ways in (joined, table._shared(a, b, shares)):
                yield from (({a, b}, worth, dict(new)) for worth, new in ways)


@pytest.mark.parametrize("seed", range(6))
def test_a_recut_is_worth_what_the_judge_says(seed: int) -> None:
    """But for what the table asks for apart: neighbours they must have, ways, and places at table."""
    task = with_wishes(row_puzzle((4, 3, 3), 6, seed), seed)
    asks = tuple(replace(ask, beside=()) for ask in task.asks)
    task = replace(task, asks=asks, settled=(), inner=frozenset(), table=())
    table = _Table(task, Weights(task))
    tried = 0
    for n in range(5):
        start = random_seating(task, Draw(seed, str(n)))
        table._lay(start)
        table.alone = -(10**9)  # whatever it is worth
        before = Weights.value(judge(task, start))
        for cleared, worth, new in recuts(table, [p for p, _ in start]):
            after = {p: k for p, k in start if p not in cleared} | new
            seating = tuple(sorted(Seat(p, k) for p, k in after.items()))
            assert Weights.value(judge(task, seating)) - before == worth
            tried += 1
    assert tried > 50


@pytest.mark.parametrize("seed", range(6))
def test_no_single_room_of_another_kind_betters_what_is_found(seed: int) -> None:
    task = replace(with_wishes(row_puzzle((4, 3, 3), 6, seed), seed), settled=())
    found, verdict = seat(task, Draw(seed))
    for n, (place, _) in enumerate(found):
        for kind in range(len(task.asks)):
            other = (*found[:n], Seat(place, kind), *found[n + 1 :])
            assert not judge(task, other).beats(verdict)


@pytest.mark.parametrize("seed", range(6))
def test_a_seating_covers_every_atom_once(seed: int) -> None:
    task = row_puzzle((5, 4, 4), 9, seed)
    seating, verdict = seat(task, Draw(seed))
    covered = 0
    for place, _ in seating:
        assert not covered & task.places[place]
        covered |= task.places[place]
    assert covered == task.atoms
    assert verdict == judge(task, seating)


def pair_of_rooms(**asked: frozenset[int]) -> Puzzle:
    asks = (Ask(kind="a", least=1, most=1, **asked), Ask(kind="b", least=0, most=2))
    return Puzzle(
        atoms=3,
        places=(1, 2, 3),
        touching=(frozenset({1}), frozenset({0}), frozenset()),
        asks=asks,
        fit=((0, 5), (1, 5), (9, 0)),
        unfit=((0, 0), (0, 0), (0, 0)),
    )


def hand_worked() -> Iterator[tuple[Puzzle, tuple[Seat, ...], Verdict]]:
    """Verdicts worked out by hand."""
    yield pair_of_rooms(), (Seat(0, 0), Seat(1, 1)), Verdict(0, 5)
    yield pair_of_rooms(near=frozenset({1})), (Seat(0, 0), Seat(1, 1)), Verdict(0, 5 + LIKING)
    yield pair_of_rooms(far=frozenset({1})), (Seat(0, 0), Seat(1, 1)), Verdict(0, 5 - LIKING)
    yield pair_of_rooms(away=frozenset({1})), (Seat(0, 0), Seat(1, 1)), Verdict(1, 5)
    yield pair_of_rooms(beside=(frozenset({1}),)), (Seat(2, 0),), Verdict(1, 9)
    yield pair_of_rooms(), (Seat(0, 1), Seat(1, 1)), Verdict(1, 10 - AGAIN)
    hidden = replace(pair_of_rooms(), inner=frozenset({1}))
    yield hidden, (Seat(0, 0), Seat(1, 1)), Verdict(0, 5)
    kept = tuple(replace(ask, private=ask.kind == "a") for ask in hidden.asks)
    yield replace(hidden, asks=kept), (Seat(0, 0), Seat(1, 1)), Verdict(0, 5 - STRUNG)
    walked = replace(hidden, asks=kept, inner=frozenset({0, 1}), walks=(frozenset({0, 1}),))
    yield walked, (Seat(0, 0), Seat(1, 1)), Verdict(0, 5 - 2 * STRUNG)
    eating = replace(pair_of_rooms(), table=((-2, 1), (-2, 1), (-4, 2)))
    yield eating, (Seat(0, 0), Seat(1, 1)), Verdict(0, 5 - SEAT)
    yield replace(eating, spare=1), (Seat(0, 0), Seat(1, 1)), Verdict(0, 5)


@pytest.mark.parametrize(("task", "seating", "verdict"), list(hand_worked()))
def test_verdicts_by_hand(task: Puzzle, seating: tuple[Seat, ...], verdict: Verdict) -> None:
    assert judge(task, seating) == verdict


def test_a_wish_for_a_neighbour_outweighs_a_better_single_room() -> None:
    seating, verdict = seat(pair_of_rooms(beside=(frozenset({1}),)), Draw(0))
    assert verdict.faults == 0
    assert {s.ask for s in seating} == {0, 1}


def test_too_many_rooms_are_seen_to_be_hopeless_without_a_search() -> None:
    task = pair_of_rooms()
    assert not hopeless(task)
    more = Ask(kind="a", least=3, most=3)
    full = Puzzle(
        atoms=3,
        places=task.places,
        touching=task.touching,
        asks=(more,),
        fit=((0,),) * 3,
        unfit=((0,),) * 3,
    )
    assert hopeless(full)
