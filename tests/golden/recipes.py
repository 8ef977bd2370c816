"""The recipes whose digests are kept, and how the digests are made."""

from __future__ import annotations

from pathlib import Path

from genhouse.house import make
from genhouse.model.brief import Brief, Recipe
from genhouse.model.digests import named_digests

KEPT = Path(__file__).with_name("digests.json")
RECIPES = {
    "seed 7": Recipe(seed=7),
    "seed 2**64 - 1, west gate, mirrored": Recipe(
        seed=(1 << 64) - 1, brief=Brief(plot=(26, 33), gate="west", mirror=True)
    ),
    "a small plot": Recipe(seed=11, brief=Brief(plot=(20, 23), gate="south", garden="moss")),
    "the largest plot": Recipe(seed=12, brief=Brief(plot=(45, 61), gate="east", palette="cedar")),
    "fittings and court of their own": Recipe(
        seed=3,
        brief=Brief(plot=(28, 36), garden="grove"),
        stage_seeds=(("court", 8), ("fittings", 9)),
    ),
}


def digests(recipe: Recipe) -> dict[str, str]:
    """SHA-256 by stage, and of the rooms."""
    return named_digests(make(recipe).voxels)
