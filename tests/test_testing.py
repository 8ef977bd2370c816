"""The exam passes traditions on the shelf and what their tables allow, and finds what is faulty."""

from __future__ import annotations

import copy
from typing import Any

import pytest

from genhouse.core.errors import TraditionError
from genhouse.testing import PLOTS, exam
from genhouse.traditions.shelf import names, tables
from tests.traditions.renaming import backwards

VARIANTS: dict[str, dict[str, dict[str, Any]]] = {
    "a full storey one higher": {"heights": {"full": {"tie": 2, "head": 5}}},
    "a tie one higher too": {"heights": {"full": {"tie": 3, "head": 5}}},
    "a top storey one higher": {"heights": {"top": {"head": 2}}},
    "bays short and long": {"bays": {"gaps": [3, 4, 5, 6], "spans": [4, 8, 12]}},
    "long bays": {"bays": {"gaps": [4, 5, 6], "spans": [6, 10, 12]}},
    "one span": {"bays": {"spans": [6]}},
    "a wide margin": {"bays": {"margin": 3}, "roof": {"outside": 3}},
    "no overhang": {"roof": {"outside": 0, "verge": 0}},
    "flat": {"roof": {"forms": [["flat", 1]]}},
}


def varied(changes: dict[str, dict[str, Any]]) -> dict[str, Any]:
    data = copy.deepcopy(dict(tables("timber")))
    for table, some in changes.items():
        data[table] |= some
    return data


@pytest.mark.parametrize("name", names())
def test_every_tradition_on_the_shelf_passes(name: str) -> None:
    assert exam(name, seeds=range(2)) == ()


@pytest.mark.parametrize("name", VARIANTS)
def test_other_numbers_pass_too(name: str) -> None:
    assert exam(varied(VARIANTS[name]), seeds=[0], plots=PLOTS[:3]) == ()


def test_other_names_pass_too() -> None:
    assert exam(backwards("kind"), seeds=[2], plots=[]) == ()


def test_a_fault_is_found() -> None:
    """A stair of rails: nobody comes up, and every draw of two storeys is unsound."""
    data = varied({"use": {"tread": ["stair", "rail", "rail {}"]}})
    fault = exam(data, seeds=[1], plots=[])[-1]
    assert fault.startswith("seed 1, storeys 2: seed: no sound house comes of 1")


def test_tables_that_are_refused_are_not_examined() -> None:
    with pytest.raises(TraditionError, match=r"bays\.margin"):
        exam(varied({"bays": {"margin": 0}}))
