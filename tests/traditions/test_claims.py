"""What no house of a tradition has is refused in one sentence, whoever asks for it."""

from __future__ import annotations

from typing import Any

import pytest

from genhouse.core.errors import BriefError
from genhouse.model.brief import Brief, Sides, Wish
from genhouse.traditions.claims import check_claims
from genhouse.traditions.shelf import tables
from tests.traditions.test_plan import planned


@pytest.mark.parametrize(
    ("keys", "asked", "said"),
    [
        (
            {"storeys": [1]},
            {"storeys": 2},
            "^storeys: 2 is more than a timber house .* has; try 1$",
        ),
        (
            {"storeys": [1]},
            {"rooms": (Wish(kind="loft"),)},
            "^storeys: .* takes 2, .* has 1 at most$",
        ),
        ({"courts": [1]}, {"courts": 2}, "^courts: 2 is more than"),
        (
            {"arrangements": {"ring": 1}},
            {"arrangement": "ear"},
            "^arrangement: no .* has 'ear'; try",
        ),
        ({"gardens": {"well": 1}}, {"garden": "pond"}, "^garden: no .* has 'pond'; try well"),
        ({"outlines": []}, {"outline": "ell"}, "^outline: .* stands on a rectangle"),
        ({"outlines": ["tee"]}, {"outline": "ell"}, "^outline: no .* stands on 'ell'; "),
        ({"neighbours": False}, {"sides": Sides(west="party")}, "^sides: .* shares no wall"),
        ({"gallery": [0, 1]}, {"gallery": True}, "^gallery: .* has none"),
    ],
)
def test_what_no_house_has_is_refused(
    keys: dict[str, Any], asked: dict[str, Any], said: str
) -> None:
    check_claims(Brief(**asked), tables("timber"))
    check_claims(Brief(), planned(**keys))
    with pytest.raises(BriefError, match=said):
        check_claims(Brief(**asked), planned(**keys))
