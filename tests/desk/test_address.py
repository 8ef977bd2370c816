"""Addresses: every recipe has one, and it brings the recipe back; what is none is refused in a sentence."""

from __future__ import annotations

from urllib.parse import quote

import pytest

from genhouse.core.errors import BriefError
from genhouse.desk.address import LONGEST, MOST, query, recipe_at
from genhouse.model.brief import Recipe
from tests.briefs import recipe as drawn


@pytest.mark.parametrize("number", range(60))
def test_a_recipe_comes_back_from_its_address(number: int) -> None:
    recipe = drawn(number)
    assert recipe_at(query(recipe)) == recipe


def test_seeds_of_stages_are_words_of_their_own() -> None:
    recipe = Recipe(seed=3, stage_seeds=(("court", 9), ("roof", 4)))
    assert query(recipe) == "seed=3&court=9&roof=4"
    assert recipe_at("look=plan&seed=3&roof=4&court=9") == recipe


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("seed=-1", "seed: "),
        ("seed=1.5", "seed: "),
        ("seed=99999999999999999999999", "seed: "),
        (f"seed={1 << 64}", "seed: "),
        ("roof=x", "roof: "),
        ("brief={", "brief: it is not JSON"),
        ("brief=[]", "brief: it wants keys and values"),
        ("brief=" + quote('{"tradition":"../../etc"}'), "tradition: "),
        ("brief=" + quote('{"tradition":"/tmp"}'), "tradition: "),
        ("brief=" + quote('{"tradition":"."}'), "tradition: "),
        ("brief=" + quote('{"plot":"wide"}'), "plot: "),
        ("brief=" + quote('{"tradition":"/etc"}'), "tradition: an address opens no folder"),
        ("brief=" + quote('{"rooms":[{"kinds":"attic"}]}'), "rooms 1"),
        ("brief=" + "[" * 5000, "brief: "),
        ("a=1&" * (MOST + 1), "address: "),
        ("x" * (LONGEST + 1), "address: "),
    ],
)
def test_what_is_no_recipe_is_refused(text: str, said: str) -> None:
    with pytest.raises(BriefError) as refused:
        recipe_at(text)
    assert str(refused.value).startswith(said)
    assert "\n" not in str(refused.value)
