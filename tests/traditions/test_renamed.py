"""Kinds of room are found by what they can do: where all have other names, houses are as sound."""

from __future__ import annotations

import re
import sys
from pathlib import Path

import pytest

from genhouse.model.brief import Brief, Recipe, Wish
from genhouse.sound import sound
from genhouse.traditions import shelf
from genhouse.traditions.shelf import SHELF, tables
from genhouse.traditions.timber import trades
from tests.houses import arrays
from tests.outside.checker import check_arrays


@pytest.fixture
def renamed(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> str:
    """The timber tradition on a shelf of its own, each kind of room spelt backwards."""
    kinds = tables("timber")["kind"]
    text = "\n".join(
        (SHELF / name).read_text("utf-8") for name in ("timber.toml", "timber/households.toml")
    )
    before, after = text.split(
        "# ---------------------------------------------------------------- rooms"
    )
    for kind in kinds:
        after = after.replace(f"[kind.{kind}]", f"[kind.{kind[::-1]}]")
    lines = [_renamed(line, kinds) for line in after.splitlines()]
    (tmp_path / "backwards.toml").write_text("\n".join((before, *lines)), "utf-8")
    (tmp_path / "backwards").mkdir()
    fittings = (SHELF / "timber" / "fittings.toml").read_text("utf-8")
    (tmp_path / "backwards" / "fittings.toml").write_text(fittings, "utf-8")
    monkeypatch.setattr(shelf, "SHELF", tmp_path)
    monkeypatch.setitem(sys.modules, "genhouse.traditions.backwards.trades", trades)
    return "backwards"


def _renamed(line: str, kinds: dict[str, object]) -> str:
    """A line with the kinds that it names renamed; what names fittings is left."""
    if re.match(r"(fittings|extras|floor|sets|    )", line):
        return line
    quoted = re.sub(r'"(\w+)"', lambda m: f'"{_other(m[1], kinds)}"', line)
    return re.sub(r"(\w+) = (?=\d)", lambda m: f"{_other(m[1], kinds)} = ", quoted)


def _other(name: str, kinds: dict[str, object]) -> str:
    return name[::-1] if name in kinds else name


def test_other_names_build_clean_houses(renamed: str) -> None:
    whole = Brief(tradition=renamed)
    few = Brief(tradition=renamed, storeys=1, people=4, trade="baker")
    asked = Brief(
        tradition=renamed, rooms=(Wish(kind="nehctik", beside=("gninid",)),), service=True
    )
    for seed, brief in enumerate((whole, whole, whole, few, asked)):
        house = sound(Recipe(seed=seed, brief=brief))
        assert not house.faults
        assert check_arrays(arrays(house.voxels), brief.light) == []
        assert {room.kind for room in house.plan.rooms if room.indoor} <= set(
            tables(renamed)["kind"]
        )
