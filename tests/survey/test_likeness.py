"""Likeness: changes that do the same are told together, whatever the sizes of houses."""

from __future__ import annotations

import numpy as np
import pytest

from genhouse.survey import likeness
from genhouse.survey.likeness import Change, alike, groups, points


def change(n: int, stages: tuple[str, ...], **figures: tuple[float, float]) -> Change:
    return Change(
        recipe=str(n),
        first=stages[0],
        stages=stages,
        cells=0,
        figures=tuple((name, *pair) for name, pair in figures.items()),
        outcome=("made", "made"),
        fault=False,
    )


ROOF, LAMPS = ("roof", "lamps"), ("lamps",)
MIXED = [
    change(0, ROOF, cells_roof=(900, 960), ridges=(4, 5)),
    change(1, LAMPS, cells_lamps=(20, 21)),
    change(2, ROOF, cells_roof=(500, 540), ridges=(4, 5)),
    change(3, ROOF, cells_roof=(500, 100), ridges=(9, 1), width=(30, 20)),
    change(4, LAMPS, cells_lamps=(30, 31)),
    change(5, ROOF, cells_roof=(700, 755), ridges=(6, 7)),
]


def told(found: list[list[Change]]) -> list[set[int]]:
    return [{int(one.recipe) for one in some} for some in found]


def test_what_moves_the_same_way_is_one_kind() -> None:
    assert told(alike(MIXED, lambda one: one.first)) == [{0, 2, 5}, {3}, {1, 4}]


def test_keys_are_kept_apart() -> None:
    assert told(alike(MIXED, lambda one: one.recipe)) == [{n} for n in range(6)]


def test_a_stage_more_is_another_kind() -> None:
    two = [change(0, ("court",)), change(1, ("court", "lamps", "fittings"))]
    assert told(alike(two, lambda _: 0)) == [{0}, {1}]


def test_the_order_of_changes_moves_none(monkeypatch: pytest.MonkeyPatch) -> None:
    found = told(alike(MIXED, lambda one: one.first))
    backward = told(alike(MIXED[::-1], lambda one: one.first))
    assert sorted(map(sorted, found)) == sorted(map(sorted, backward))
    monkeypatch.setattr(likeness, "MANY", 4)
    few = alike(MIXED, lambda one: one.first)
    assert sorted(map(sorted, told(few))) == sorted(map(sorted, found))


def test_the_midst_of_a_kind_stands_first() -> None:
    found = np.array([[0.0], [0.9], [0.4], [0.3]])
    assert groups(found) == [[2, 0, 1, 3]]


def test_changes_without_figures_are_points_too() -> None:
    bare = [change(n, ("tables",)) for n in range(3)]
    assert groups(points(bare)) == [[0, 1, 2]]
    assert groups(points([])) == []


def test_houses_drawn_wholly_anew_are_one_kind_however_much_is_measured() -> None:
    """Sixty figures that each move by up to half, one way or the other."""
    dice = np.random.default_rng(1)
    anew = [
        change(n, ROOF, **{f"figure{k}": (100.0, 100.0 * f) for k, f in enumerate(moves)})
        for n, moves in enumerate(dice.uniform(0.5, 1.5, (12, 60)))
    ]
    assert told(alike(anew, lambda one: one.first)) == [set(range(12))]
