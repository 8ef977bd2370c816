"""Planted faults: each is found by its own check and by no other, here and by the outside checker."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

import pytest

from genhouse.house import House
from genhouse.inspection import CHECKS, Report, inspect
from tests.houses import arrays
from tests.outside.checker import check_arrays
from tests.planted.edit import Edit, neighboured, subject
from tests.planted.faults import FAULTS, FOLLOWS
from tests.planted.neighbours import HOUSES

OUTSIDE = {
    "weather": {"rain", "sky", "corners"},
    "standing": {"standing", "water"},
    "access": {"gate", "rooms", "fittings"},
    "rooms": {"numbers"},
    "headroom": set(),
    "light": {"light"},
    "plot": {"outline"},
    "bill": set(),
    "skin": set(),
    "closed": {"open"},
    "carried": set(),
    "floors": {"floors"},
    "guards": set(),
    "stairs": set(),
    "volumes": set(),
    "party": {"neighbours"},
    "record": set(),
}
"""The outside checker's names for what the file contract promises; it knows no headroom, and reads the
bill from its file (see tests/cli/test_inspect.py)."""
BEYOND_THE_CONTRACT = {"a room of six cells", "leaves gone from an opening"}
"""The contract says nothing of sizes, nor of how many leaves an opening has."""
NOT_IN_ORDER = {"a room of the table without cells": {"numbers"}}
"""The outside checker calls it a fault of the tables and looks no further."""


@cache
def planted(name: str) -> Edit:
    edit = Edit(HOUSES.get(name, subject)())
    FAULTS[name][1](edit)
    return edit


def examined(name: str) -> Report:
    edit = planted(name)
    return inspect(edit.voxels(), rows=edit.list(), record=edit.record, outline=edit.outline)


@pytest.mark.parametrize("house", [subject, neighboured])
def test_the_house_itself_is_clean(house: Callable[[], House]) -> None:
    edit = Edit(house())
    assert inspect(edit.voxels(), rows=edit.list()).findings == ()
    assert check_arrays(arrays(edit.voxels())) == []


each_fault = pytest.mark.parametrize("name", FAULTS)


@each_fault
def test_each_fault_is_found_by_its_own_check_and_no_other(name: str) -> None:
    report = examined(name)
    broken = {v.check for v in report.verdicts if not v.kept}
    assert broken - FOLLOWS.get(name, set()) == {FAULTS[name][0]}, report.findings
    assert not report.clean


@pytest.mark.parametrize("name", FAULTS)
def test_the_outside_checker_agrees(name: str) -> None:
    check = FAULTS[name][0]
    edit = planted(name)
    findings = check_arrays(arrays(edit.voxels()), corners=edit.outline)
    found = {finding.check for finding in findings}
    expected = NOT_IN_ORDER.get(name, OUTSIDE[check])
    assert found <= expected | {n for other in FOLLOWS.get(name, ()) for n in OUTSIDE[other]}
    assert bool(found & expected) == (bool(expected) and name not in BEYOND_THE_CONTRACT)


@pytest.mark.parametrize("name", [name for name, (check, _) in FAULTS.items() if check != "bill"])
def test_a_finding_says_where(name: str) -> None:
    """Cells inside the plot and a count, but where a room has no cells to show."""
    report, size = examined(name), planted(name).voxels().size
    for finding in report.findings:
        assert finding.count >= len(finding.where)
        assert all(
            0 <= n < end for cell in finding.where for n, end in zip(cell, size, strict=True)
        )
        assert finding.where or "no cells" in finding.sentence
        assert finding.check in str(finding)


def test_every_check_has_faults_of_its_own() -> None:
    assert {check for check, _ in FAULTS.values()} == set(CHECKS)
    assert len(FAULTS) >= 25


def test_a_kind_that_the_programme_asks_for_is_missed() -> None:
    edit = Edit()
    report = inspect(edit.voxels(), programme=["kitchen", "kitchen", "sauna"])
    assert {f.check for f in report.findings} == {"rooms"}
    assert [f.sentence for f in report.findings] == [
        "the programme asks for 2 x kitchen, the house has 1",
        "the programme asks for 1 x sauna, the house has 0",
    ]
