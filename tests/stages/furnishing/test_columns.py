"""Stances side by side: told apart by what they are, however much was asked for in between."""

from __future__ import annotations

from itertools import product

from msgspec.structs import replace

from genhouse.stages.furnishing.columns import columns
from genhouse.traditions.loader import parse_tradition
from genhouse.traditions.shelf import tables
from tests.houses import TIMBER

FITTINGS = dict(TIMBER.fittings)


def test_either_hand_of_an_even_fitting_has_the_same_stances_whatever_comes_between() -> None:
    even = FITTINGS["jar shelf"]
    others = [f for name, f in FITTINGS.items() if name != "jar shelf"]
    first = columns(even, True, 7, 5, 1)
    for fitting, width, depth in product(others[:50], range(3, 13), range(3, 13)):
        columns(fitting, True, width, depth, 3)
    again = columns(even, False, 7, 5, 1)
    assert again is not first, "enough was asked for that the first were forgotten"
    assert again == first
    assert hash(again) == hash(first)
    assert again.stances == first.stances


def test_a_tradition_read_again_has_the_same_fittings_and_stances() -> None:
    again = parse_tradition("timber", tables("timber"))
    assert again == TIMBER
    assert hash(again) == hash(TIMBER)
    for name, fitting in FITTINGS.items():
        other = again.fitting(name)
        assert other is not fitting
        assert other == fitting
        assert columns(other, True, 6, 5, 1) == columns(fitting, True, 6, 5, 1)


def test_another_drawing_under_the_same_name_has_stances_of_its_own() -> None:
    shelf = FITTINGS["jar shelf"]
    for other in (replace(shelf, clear=shelf.clear + 1), replace(shelf, layers=shelf.layers[:1])):
        assert other != shelf
        assert columns(other, True, 6, 5, 1) != columns(shelf, True, 6, 5, 1)
    assert columns(shelf, True, 6, 5, 1) != columns(shelf, True, 5, 6, 1)
    assert columns(shelf, True, 6, 5, 1) != columns(shelf, True, 6, 5, 2)
