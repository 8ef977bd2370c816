"""The exam passes traditions on the shelf and what their tables allow, and finds what is faulty."""

from __future__ import annotations

import copy
from pathlib import Path
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
    assert exam(name, seeds=range(2), claims=False) == ()


@pytest.mark.parametrize("name", names())
def test_every_tradition_on_the_shelf_has_what_it_claims(name: str) -> None:
    assert exam(name, seeds=[], plots=[]) == ()


@pytest.mark.parametrize("name", VARIANTS)
def test_other_numbers_pass_too(name: str) -> None:
    assert exam(varied(VARIANTS[name]), seeds=[0], plots=PLOTS[:3], claims=False) == ()


def test_other_names_pass_too() -> None:
    assert exam(backwards("kind"), seeds=[2], plots=[], claims=False) == ()


def test_a_fault_is_found() -> None:
    """A stair of rails: nobody comes up, and every draw of two storeys is unsound."""
    data = varied({"use": {"tread": ["stair", "rail", "rail {}"]}})
    fault = exam(data, seeds=[1], plots=[], claims=False)[-1]
    assert fault.startswith("seed 1, storeys 2: seed: no sound house comes of 1")


def test_a_fault_is_told_by_its_file_and_its_key(tmp_path: Path) -> None:
    """A lookout of three storeys in a tradition of one; a ladder whose rungs hang in the air."""
    (tmp_path / "tradition.toml").write_text(
        'like = "timber"\ntitle = "Hut"\n[plan]\nstoreys = [1]\ngallery = [0, 1]\n'
        "[plan.arrangements]\nring = 1\nlookout = 1\n"
    )
    (tmp_path / "more.toml").write_text(
        '[fitting."trunk"]\ntags = ["store"]\nagainst = "wall"\nlayers = ["a", "b"]\n'
        'key = { a = ["coffer", "loaf"], b = ["coffer", "loaf"] }\n'
    )
    found = exam(tmp_path, seeds=[], plots=[])
    where = tmp_path.as_posix()
    assert f"{where}/more.toml: fitting.trunk.layers: its pieces do not hang together" in found
    assert any(f.startswith(f"{where}/tradition.toml: plan.arrangements.lookout: ") for f in found)
    assert not any("plan.arrangements.ring" in fault for fault in found)


def test_tables_that_are_refused_are_not_examined() -> None:
    with pytest.raises(TraditionError, match=r"bays\.margin"):
        exam(varied({"bays": {"margin": 0}}))
