"""Variants keep what they are told to keep, to the byte."""

from __future__ import annotations

import pytest

from genhouse.core.errors import BriefError, InfeasibleError, UnreadableError
from genhouse.house import make
from genhouse.many.variants import kept_stages, settled_stages, variants, varied
from genhouse.model.brief import STAGE_NAMES, Recipe
from genhouse.outputs.document._digests import digests

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
    found = variants(FIRST, SAVED, kept, 2, processes=1)
    assert len(found) == 2
    for variant in found:
        made = digests(make(variant.recipe).voxels)[0]
        assert made == variant.stages
        assert {s: made[s] for s in settled_stages(kept)} == {
            s: SAVED[s] for s in settled_stages(kept)
        }
        assert made != SAVED
    assert found[0].stages != found[1].stages


def test_a_house_of_another_version_is_not_varied() -> None:
    with pytest.raises(UnreadableError, match="stage site is not what this version makes"):
        variants(FIRST, SAVED | {"site": "0" * 64}, kept_stages(["roof"]), 1, processes=1)


def test_where_no_seed_makes_a_difference_there_is_no_variant() -> None:
    from unittest.mock import patch

    from genhouse.many import variants as module

    with (
        patch.object(module, "varied", lambda first, *_: first),
        pytest.raises(InfeasibleError, match="no variant"),
    ):
        variants(FIRST, SAVED, kept_stages(["roof"]), 2, processes=1)
