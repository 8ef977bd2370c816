"""What rooms owe, told in bits, is what the judge says in plain sets."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from genhouse.stages.seats.debts import Debts
from genhouse.stages.seats.seating import FAULT, SEAT, Puzzle, Seat, faults, strung
from tests.stages.seats.test_seating import row_puzzle

PLACES = len(row_puzzle((4, 3, 3), 6, 0).places)
some_places = st.frozensets(st.integers(0, PLACES - 1))
rooms_of = st.dictionaries(st.integers(0, PLACES - 1), st.integers(0, 5), max_size=10)


@st.composite
def puzzles(draw: st.DrawFn) -> Puzzle:
    task = row_puzzle((4, 3, 3), 6, draw(st.integers(0, 5)))
    private = draw(st.lists(st.booleans(), min_size=6, max_size=6))
    asks = tuple(replace(ask, private=p) for ask, p in zip(task.asks, private, strict=True))
    walks = tuple(draw(st.lists(some_places, max_size=2)))
    return replace(task, asks=asks, inner=draw(some_places), walks=walks)


@given(puzzles(), rooms_of)
def test_rooms_are_strung_as_in_plain_sets(task: Puzzle, rooms: dict[int, int]) -> None:
    debts = Debts(task)
    held = sum(1 << p + debts.shift[n] for p, n in rooms.items())
    assert debts.strung(held) == strung(task, list(rooms.items()))


@given(
    rooms_of, st.lists(st.frozensets(st.integers(0, 5), min_size=1), max_size=2), st.integers(0, 5)
)
def test_lonely_rooms_cost_what_their_faults_do(
    rooms: dict[int, int], groups: list[frozenset[int]], needy: int
) -> None:
    task = row_puzzle((4, 3, 3), 6, 1)
    asks = list(task.asks)
    asks[needy] = replace(asks[needy], beside=tuple(groups))
    wanting = replace(task, asks=tuple(asks))
    seating = [Seat(p, n) for p, n in sorted(rooms.items())]
    owner = [rooms.get(p, -1) for p in range(PLACES)]
    more = faults(wanting, seating) - faults(task, seating)
    assert Debts(wanting).lonely(owner) == FAULT * more


def test_who_has_no_place_at_table_is_owed_one() -> None:
    debts = Debts(row_puzzle((4, 3, 3), 6, 1))
    assert [debts.owed(0, spare) for spare in (2, 0, -3)] == [0, 0, 3 * SEAT]
