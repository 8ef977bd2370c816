"""Errors: they pass between processes whole."""

from __future__ import annotations

import pickle

import pytest

from genhouse.core import errors


def test_an_infeasible_wish_says_as_much_in_another_process() -> None:
    error = errors.InfeasibleError("no room", stage="rooms", offers=("a larger plot", "less"))
    other = pickle.loads(pickle.dumps(error))
    assert isinstance(other, errors.InfeasibleError)
    assert (str(other), other.stage, other.offers) == (str(error), "rooms", error.offers)
    assert str(other) == "no room; a larger plot or less would work"


@pytest.mark.parametrize(
    "kind",
    [errors.BriefError, errors.TraditionError, errors.UnreadableError, errors.WriteError],
)
def test_so_do_the_others(kind: type[errors.GenhouseError]) -> None:
    other = pickle.loads(pickle.dumps(kind("what, where, what would work")))
    assert type(other) is kind
    assert str(other) == "what, where, what would work"
