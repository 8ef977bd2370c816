"""What stays the same: the same recipe gives the same bytes, another palette the same form."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from genhouse.house import House, make
from genhouse.model.brief import Brief, Recipe
from tests.houses import TIMBER

ARRAYS = ("material", "form", "stage", "room", "shapes")
seeds = st.integers(0, (1 << 64) - 1)


def same(a: House, b: House, *names: str) -> bool:
    return all(np.array_equal(getattr(a.voxels, name), getattr(b.voxels, name)) for name in names)


@given(seeds)
@settings(max_examples=5)
def test_the_same_recipe_gives_the_same_house(seed: int) -> None:
    one, other = make(Recipe(seed=seed)), make(Recipe(seed=seed))
    assert same(one, other, *ARRAYS)
    assert one.voxels.about == other.voxels.about
    assert one.plan == other.plan


@pytest.mark.parametrize("seed", [1, 1 << 63])
def test_a_palette_changes_no_form(seed: int) -> None:
    houses = [
        make(Recipe(seed=seed, brief=Brief(palette=palette.name, plot=(24, 31))))
        for palette in TIMBER.palettes
    ]
    for house in houses[1:]:
        assert same(houses[0], house, "form", "stage", "room")
        assert houses[0].voxels.about.rooms == house.voxels.about.rooms
    looks = {tuple(m.name for m in house.voxels.about.materials) for house in houses}
    assert len(looks) == len(houses)


@pytest.mark.parametrize("seed", [2, 5])
def test_what_is_drawn_can_be_asked_for(seed: int) -> None:
    """A brief that says what the seed would have drawn changes nothing."""
    drawn = make(Recipe(seed=seed))
    brief = Brief(plot=drawn.plan.plot, gate=drawn.plan.gate_side, palette=drawn.plan.palette.name)
    asked = make(Recipe(seed=seed, brief=brief))
    assert same(drawn, asked, *ARRAYS)


def test_the_client_changes_nothing_but_the_name() -> None:
    one, other = (
        make(Recipe(seed=4, brief=Brief(client=name, plot=(22, 28)))) for name in ("", "Ada")
    )
    assert same(one, other, *ARRAYS)


def test_every_file_is_the_same_to_the_byte_whatever_the_hash_seed(tmp_path: Path) -> None:
    """Two processes of their own; nothing may hang on the order of a set."""
    for hash_seed in ("1", "4242"):
        call = "from genhouse.cli.main import main; main()"
        words = ["design", "12345678901234567890", "--plot", "23x30", "--out", f"house-{hash_seed}"]
        subprocess.run(
            [sys.executable, "-c", call, *words],
            cwd=tmp_path,
            env={**os.environ, "PYTHONHASHSEED": hash_seed},
            check=True,
            capture_output=True,
        )
    one, other = tmp_path / "house-1", tmp_path / "house-4242"
    names, others = (sorted(p.relative_to(f) for p in f.rglob("*.*")) for f in (one, other))
    assert names == others
    for name in names:
        assert (one / name).read_bytes() == (other / name).read_bytes(), name
