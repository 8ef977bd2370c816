"""Variants keep what they are told to keep, to the byte."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pytest

from genhouse.core.errors import BriefError, InfeasibleError, UnreadableError
from genhouse.house import House, make
from genhouse.many.apart import NEAREST, Told, kept_apart, told_apart
from genhouse.many.variants import kept_stages, settled_stages, variants, varied
from genhouse.model.brief import STAGE_NAMES, Brief, Recipe
from genhouse.model.digests import digests

FIRST = Recipe(seed=7, stage_seeds=(("roof", 5),))
SAVED = digests(make(FIRST).voxels)[0]


def test_a_stage_is_kept_with_all_before_it() -> None:
    assert kept_stages(["roof", "rooms"]) == STAGE_NAMES[: STAGE_NAMES.index("roof") + 1]
    assert kept_stages([]) == ()
    assert kept_stages(["walls"]) == kept_stages(["rooms"]) == ("site", "bays", "rooms")
    assert "stair" in settled_stages(kept_stages(["rooms"]))
    assert settled_stages(kept_stages(["bays"])) == ("site",)


@pytest.mark.parametrize(("name", "said"), [("rooff", "did you mean 'roof'"), ("lamps", "nothing")])
def test_what_cannot_be_kept_is_refused(name: str, said: str) -> None:
    with pytest.raises(BriefError, match=said):
        kept_stages([name])


def test_kept_stages_keep_their_seeds_and_the_others_get_new_ones() -> None:
    kept = kept_stages(["roof"])
    seen = set()
    for number in (1, 2, 3):
        recipe = varied(FIRST, kept, number)
        assert all(recipe.seed_of(stage) == FIRST.seed_of(stage) for stage in kept)
        new = [recipe.seed_of(stage) for stage in STAGE_NAMES if stage not in kept]
        assert FIRST.seed not in new
        seen |= set(new)
        assert recipe == varied(FIRST, kept, number)
    assert len(seen) == 3 * (len(STAGE_NAMES) - len(kept))


@pytest.mark.parametrize("keep", ["site", "rooms", "roof", "court"])
def test_kept_cells_stay_the_same_to_the_byte_and_others_do_not(keep: str) -> None:
    kept = kept_stages([keep])
    found = variants(FIRST, SAVED, kept, 2, processes=1).found
    assert len(found) == 2
    for variant in found:
        made = digests(make(variant.recipe).voxels)[0]
        assert made == variant.stages
        assert {s: made[s] for s in settled_stages(kept)} == {
            s: SAVED[s] for s in settled_stages(kept)
        }
        assert made != SAVED
    assert found[0].stages != found[1].stages


def unshared(a: House, b: House, stages: set[str]) -> float:
    """The part of the pieces of some stages that two houses do not share, a cell at a time."""
    one, other = (set(_set(house, stages)) for house in (a, b))
    return 1 - len(one & other) / len(one | other)


def _set(house: House, stages: set[str]) -> Iterator[tuple[int, ...]]:
    v = house.voxels
    for x, y, z in np.argwhere(v.form > 0).tolist():
        if v.about.stages[v.stage[x, y, z]] in stages:
            yield x, y, z, int(v.material[x, y, z]), int(v.form[x, y, z])


@pytest.mark.parametrize(
    ("keep", "view", "stages"),
    [
        ("site", "outside", {"frame", "walls", "roof"}),
        ("court", "inside", {"fittings", "lamps"}),
        ("roof", "inside", {"court", "fittings", "lamps"}),
    ],
)
def test_they_are_shown_where_they_differ_and_none_is_nearer_than_is_said(
    keep: str, view: str, stages: set[str]
) -> None:
    chosen = variants(FIRST, SAVED, kept_stages([keep]), 3, processes=1)
    assert chosen.view == view
    houses = [make(FIRST), *(make(variant.recipe) for variant in chosen.found)]
    apart = [[unshared(a, b, stages) for b in houses] for a in houses]
    assert min(value for n, row in enumerate(apart) for value in row[:n]) >= NEAREST
    for n, variant in enumerate(chosen.found, 1):
        near = min(value for k, value in enumerate(apart[n]) if k != n)
        assert variant.nearest == pytest.approx(near)
        assert chosen.apart[n - 1] == pytest.approx(apart[n][1:])


def test_a_view_from_farther_off_is_taken_where_it_tells_enough_apart() -> None:
    """Four houses on two plots: by their roofs, two; by what is in them, four."""

    def house(roof: int, inside: int) -> Told:
        pieces = [np.arange(100 * n, 100 * n + 100, dtype=np.uint64) for n in (roof, inside)]
        return Told(dict(zip(("outside", "inside"), pieces, strict=True)))

    houses = [house(1, 1), house(1, 2), house(2, 3), house(2, 4)]
    assert told_apart(houses, (), 1) == ("outside", [0, 2])
    assert told_apart(houses, (), 3) == ("inside", [0, 1, 2, 3])
    assert told_apart(houses, (), 9) == ("inside", [0, 1, 2, 3])
    assert told_apart(houses[:1], (), 1)[1] == [0]
    near = Told({"outside": np.arange(110, 210, dtype=np.uint64)})  # 90 of 110 shared: 0.18
    same = Told({"outside": np.arange(105, 205, dtype=np.uint64)})  # 95 of 105: 0.095
    assert kept_apart([houses[0], same, near], "outside") == [0, 2]


@pytest.mark.parametrize("stage", ["site", "roof", "lamps"])
def test_a_house_of_another_version_is_not_varied(stage: str) -> None:
    """Neither where a kept stage moved, nor where one moved that would be drawn anew."""
    with pytest.raises(UnreadableError, match=f"stage {stage} is the first that differs"):
        variants(FIRST, SAVED | {stage: "0" * 64}, kept_stages(["rooms"]), 1, processes=1)


def test_a_recipe_from_which_no_house_comes_any_more_is_told() -> None:
    small = Recipe(seed=7, brief=Brief(plot=(17, 19), courts=3))
    with pytest.raises(UnreadableError, match="makes none from its recipe"):
        variants(small, SAVED, (), 1, processes=1)


def test_where_no_seed_makes_a_difference_there_is_no_variant() -> None:
    from unittest.mock import patch

    from genhouse.many import variants as module

    with (
        patch.object(module, "varied", lambda first, *_: first),
        pytest.raises(InfeasibleError, match="no variant"),
    ):
        variants(FIRST, SAVED, kept_stages(["roof"]), 2, processes=1)
