"""Contradictions: refused at once, each in a sentence, and truly without an answer."""

from __future__ import annotations

from typing import Any

import pytest

from genhouse.core.errors import BriefError
from genhouse.generate.briefs import parse_brief

SLEEPING = {"kind": "sleeping"}
CONTRADICTIONS: tuple[tuple[dict[str, Any], str], ...] = (
    ({"rooms": [SLEEPING | {"count": 0, "storey": 1}]}, r"rooms 1: it asks for no sleeping"),
    ({"rooms": [SLEEPING, SLEEPING | {"count": 0}]}, r"rooms 2: .* another line asks for 1"),
    ({"storeys": 1, "rooms": [{"kind": "library"}]}, "library lies above, and storeys = 1"),
    ({"storeys": 1, "rooms": [SLEEPING | {"storey": 2}]}, "sleeping is asked for above"),
    ({"rooms": [{"kind": "kitchen", "storey": 2}]}, r"kitchen lies below"),
    ({"rooms": [{"kind": "kitchen", "count": 0}]}, "every house has a kitchen"),
    ({"rooms": [{"kind": "entry", "count": 2}]}, r"a house has one entry, not 2"),
    ({"storeys": 3, "rooms": [{"kind": "stairhall"}]}, r"of 3 storeys has 2 x stairhall, not 1"),
    ({"rooms": [{"kind": "landing", "count": 3}]}, r"a house has one or 2 x landing, not 3"),
    ({"storeys": 2, "rooms": [{"kind": "studio", "storey": 3}]}, r"leaves no storey 3"),
    ({"storeys": 2, "rooms": [{"kind": "stairhall", "count": 0}]}, "there is a stairhall"),
    ({"storeys": 1, "rooms": [{"kind": "stairhall"}]}, "has no stairhall"),
    ({"storeys": 2, "arrangement": "lookout"}, "ask for storeys = 3"),
    ({"closed": 4, "arrangement": "forecourt"}, "a walled court of its own; leave closed out"),
    ({"storeys": 1, "arrangement": "lean-to"}, "leans on a higher wing"),
    ({"roof": {"form": "inward"}, "arrangement": "lean-to"}, r"roof\.form: a lean-to"),
    ({"courts": 2, "arrangement": "side-yard"}, "a walled court of its own; leave courts out"),
    (
        {"rooms": [{"kind": "bath", "beside": ["sleeping"], "away": ["sleeping"]}]},
        "sleeping is wanted beside it and away",
    ),
    ({"rooms": [{"kind": "bath", "beside": ["library"]}]}, "library is not on its storey, 1"),
    ({"rooms": [{"kind": "bath", "beside": ["bath"]}]}, "beside another bath, and there is one"),
    (
        {"rooms": [{"kind": "bath", "beside_any": ["tea"]}, {"kind": "tea", "count": 0}]},
        "beside tea, and another line asks for none",
    ),
    ({"roof": {"form": "flat", "profile": "eight"}}, r"roof\.profile: .* no eight slope"),
    ({"roof": {"form": "gable", "swept": True}}, r"roof\.swept: .* try hip"),
    ({"storeys": 1, "roof": {"dormers": 2}}, r"roof\.dormers: they light upper rooms"),
    ({"roof": {"front": "two-tier", "rear": "two-tier"}}, r"roof\.rear: .* one raised tier"),
    ({"roof": {"form": "inward", "dormers": 2}}, r"roof\.dormers: they stand on"),
)


@pytest.mark.parametrize(("keys", "words"), CONTRADICTIONS, ids=[w for _, w in CONTRADICTIONS])
def test_a_contradiction_is_refused_by_its_key(keys: dict[str, Any], words: str) -> None:
    with pytest.raises(BriefError, match=words):
        parse_brief(keys)


@pytest.mark.parametrize(
    "keys",
    [
        {"rooms": [SLEEPING | {"count": 2, "storey": 1}, SLEEPING | {"storey": 2}]},
        {"rooms": [SLEEPING | {"count": 0}, {"kind": "bath", "beside_any": ["study", "library"]}]},
        {"rooms": [{"kind": "library", "storey": 1}], "storeys": 1},
        {"rooms": [{"kind": "bath", "beside": ["library"]}, {"kind": "library", "storey": 1}]},
        {"rooms": [{"kind": "entry"}, {"kind": "stairhall"}]},
        {"rooms": [{"kind": "stairhall", "count": 0}], "storeys": 1},
        {"roof": {"form": "inward", "profile": "eight"}},
        {"roof": {"form": "two-tier", "dormers": 1, "swept": True}},
        {"roof": {"form": "gable", "rear": "hip", "swept": True}},
        {"roof": {"form": "flat", "swept": False, "dormers": 0}},
    ],
)
def test_what_a_house_might_answer_is_not_called_a_contradiction(keys: dict[str, Any]) -> None:
    assert parse_brief(keys)
