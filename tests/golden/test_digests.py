"""Digests by stage of a few houses: a change names the stage that it comes from.

Renew them with ``python -m tests.golden.renew`` when a change is meant.
"""

from __future__ import annotations

import json

import pytest

from genhouse.model.part import STAGES
from tests.golden.recipes import KEPT, RECIPES, digests

GOLDEN = json.loads(KEPT.read_text("utf-8"))


@pytest.mark.parametrize("name", RECIPES)
def test_each_stage_sets_the_cells_it_always_set(name: str) -> None:
    found = digests(RECIPES[name])
    moved = [stage for stage in (*STAGES, "rooms") if found.get(stage) != GOLDEN[name].get(stage)]
    assert not moved, f"first changed: {moved[0]}"


def test_no_digest_is_kept_of_what_is_gone() -> None:
    assert list(GOLDEN) == list(RECIPES)
    assert all(set(stages) <= {*STAGES, "rooms"} for stages in GOLDEN.values())
