"""What is done to good houses at random, and does harm, is found in the cells alone, each time.

GENHOUSE_VANDALS=500 pytest -s tests/planted/test_vandals.py      more of them; prints what was found
"""

from __future__ import annotations

import os
from collections import defaultdict
from random import Random

import pytest

from genhouse.inspection import inspect
from tests.planted.edit import Edit
from tests.planted.vandals import VANDALS, houses

EACH = max(1, int(os.environ.get("GENHOUSE_VANDALS", "104")) // len(VANDALS))
"""How often each kind is tried."""


def tried(name: str, number: int) -> tuple[bool, set[str]] | None:
    """Whether a try was harmful, and the checks that are broken; None where a house has none of it."""
    rng = Random(f"{name}/{number}")
    edit = Edit(rng.choice(houses()))
    try:
        harmful = VANDALS[name](edit, rng)
    except IndexError:
        return None
    report = inspect(edit.voxels(), rows=edit.list())
    return harmful, {verdict.check for verdict in report.verdicts if not verdict.kept}


def test_the_houses_are_good() -> None:
    for house in houses():
        assert house.inspect().findings == ()


@pytest.mark.parametrize("name", VANDALS)
def test_harm_is_found_in_the_cells_alone(name: str) -> None:
    found: dict[bool, list[set[str]]] = defaultdict(list)
    number = 0
    while sum(map(len, found.values())) < EACH and number < 20 * EACH:
        done = tried(name, number)
        if done is not None:
            found[done[0]].append(done[1])
        number += 1
    harmful, harmless = found[True], found[False]
    print(
        f"{name}: {sum(map(bool, harmful))} of {len(harmful)} harmful found"
        f" ({', '.join(sorted(set().union(*harmful))) or 'none'});"
        f" {sum(map(bool, harmless))} of {len(harmless)} harmless remarked on"
    )
    assert harmful or harmless
    assert all(harmful)
