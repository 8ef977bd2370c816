"""Planted faults: each changes what it says and no more, and the inspection names its check."""

from __future__ import annotations

import numpy as np
import pytest

from genhouse.broken import FAULTS, broken, places
from genhouse.core.errors import BriefError
from genhouse.house import House
from tests.houses import anyhow, gardened, house

CHECKS = {
    "a hole in the roof": {"weather", "skin"},
    "a hole in a wall": {"closed", "skin", "weather"},
    "a hole in a floor": {"floors"},
    "a post gone": {"carried", "closed"},
    "a piece in the air": {"standing"},
    "a room without light": {"light"},
}
"""By one of these at least each must be found: what it breaks of the file contract."""
EACH = 3


def houses() -> list[House]:
    return [anyhow(7), house(3), gardened("pond", 4)]


@pytest.mark.parametrize("fault", FAULTS)
def test_a_fault_is_found_wherever_it_is_planted(fault: str) -> None:
    tried = 0
    for good in houses():
        found = places(good, fault)
        for place in range(0, len(found), max(1, len(found) // EACH)):
            bad = broken(good, fault, place)
            report = bad.house.inspect()
            checks = {verdict.check for verdict in report.verdicts if not verdict.kept}
            assert checks & CHECKS[fault], f"{bad!r}: {checks or 'nothing found'}"
            tried += 1
    assert tried >= EACH


@pytest.mark.parametrize("fault", FAULTS)
def test_nothing_is_changed_but_what_is_told(fault: str) -> None:
    good = anyhow(7)
    bad = broken(good, fault)
    assert (bad.good, bad.fault) == (good, fault)
    unlike = np.argwhere(good.voxels.form != bad.house.voxels.form)
    assert sorted(map(tuple, unlike.tolist())) == sorted(bad.where)
    assert np.array_equal(good.voxels.room, bad.house.voxels.room)
    assert good.inspect().clean


def test_unknown_faults_and_places_are_refused() -> None:
    with pytest.raises(BriefError, match="did you mean 'a hole in a wall'"):
        places(anyhow(7), "a hole in the wall")
    with pytest.raises(BriefError, match="could be planted at"):
        broken(anyhow(7), "a hole in a wall", 10**6)
