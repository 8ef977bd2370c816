"""Digests: equal for equal values, in every process, and refused where a value can change."""

from __future__ import annotations

import hashlib
import os
import subprocess
import sys
from dataclasses import dataclass
from typing import Any

import numpy as np
import pytest
from msgspec import Struct

from genhouse.core.digest import canonical, digest


@dataclass(frozen=True)
class Frozen:
    inside: Any


@dataclass
class Thawed:
    inside: int


class FrozenRecord(Struct, frozen=True):
    inside: Any


class ThawedRecord(Struct):
    inside: int


def still(values: Any, dtype: Any = None) -> np.ndarray[Any, Any]:
    array = np.array(values, dtype=dtype)
    array.flags.writeable = False
    return array


REFUSED = {
    "list": [1],
    "dict": {"a": 1},
    "set": {1},
    "frozenset": frozenset({1}),
    "float": 0.5,
    "writeable array": np.zeros(3),
    "array element": np.int64(3),
    "thawed dataclass": Thawed(1),
    "a class": Frozen,
    "list in a tuple": ((1, [2]),),
    "dict in a dataclass": Frozen({}),
    "thawed in frozen": Frozen(Thawed(1)),
    "thawed record": ThawedRecord(1),
    "thawed record in a frozen one": FrozenRecord(ThawedRecord(1)),
    "list in a record": FrozenRecord([1]),
}

# No two of these are the same value.
DISTINCT = [
    None,
    True,
    1,
    -1,
    11,
    "1",
    b"1",
    "None",
    "",
    (),
    ((),),
    (1, 1),
    (1, (1,)),
    ("ab", "c"),
    ("a", "bc"),
    ("a;", "b"),
    Frozen(1),
    Frozen((1,)),
    FrozenRecord(1),
    FrozenRecord((1,)),
    still([1, 2]),
    still([[1, 2]]),
    still([1, 2], np.uint8),
    still([2, 1]),
]


@pytest.mark.parametrize("name", REFUSED)
def test_what_can_change_or_has_no_order_is_refused(name: str) -> None:
    with pytest.raises(TypeError, match="so it has no digest"):
        digest(REFUSED[name])


def test_different_values_have_different_bytes() -> None:
    assert len({canonical(value) for value in DISTINCT}) == len(DISTINCT)


def test_equal_values_made_apart_have_equal_digests() -> None:
    assert digest(Frozen(("a", 1))) == digest(Frozen(("a", 1)))
    assert digest(still([1, 2])) == digest(still((1, 2)))


def test_neither_byte_order_nor_layout_in_memory_matters() -> None:
    small = still([[1, 2], [3, 4]], "<u2")
    assert digest(small) == digest(still(small, ">u2"))
    assert digest(small) == digest(still(np.asfortranarray(small)))


def test_a_digest_is_sha_256() -> None:
    """FIPS 180-4, through the standard library."""
    assert digest((1, "a")) == hashlib.sha256(canonical((1, "a"))).hexdigest()
    assert len(digest(None)) == 64


PROGRAM = """
from genhouse.core.digest import digest
from genhouse.model.brief import Brief, Recipe
recipe = Recipe(seed=7, brief=Brief(plot=(23, 32)), stage_seeds=(("fittings", 3), ("roof", 4)))
print(digest((recipe, "a", tuple(sorted({"north", "east", "south"})))))
"""


def test_digests_are_equal_under_any_hash_seed() -> None:
    def run(seed: str) -> str:
        environment = {**os.environ, "PYTHONHASHSEED": seed}
        command = [sys.executable, "-c", PROGRAM]
        done = subprocess.run(command, env=environment, capture_output=True, text=True, check=True)
        return done.stdout

    found = {run(seed) for seed in ("0", "1", "2", "3", "random")}
    assert len(found) == 1
    assert len(found.pop()) == 65
