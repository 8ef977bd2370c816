"""What a brief says is true of its house: an outside reader of the document agrees.

python -m tests.laws.test_true 1000      so many whole random briefs
"""

from __future__ import annotations

import json
import sys
from typing import Any

import pytest

from genhouse.core.errors import BriefError, InfeasibleError
from genhouse.house import House, design, make
from genhouse.outputs.document.document import document
from tests.briefs import line, recipe
from tests.outside.wishes import unmet

BRIEFS = 40


def told(house: House) -> dict[str, Any]:
    """Its document, as an outside program reads it."""
    value: dict[str, Any] = json.loads(document(house.plan, house.voxels, ()))
    return value


def judged(number: int) -> list[str] | None:
    """What the outside reader finds unmet; None where the brief is refused."""
    try:
        return unmet(told(make(recipe(number))))
    except (BriefError, InfeasibleError):
        return None


@pytest.mark.parametrize("part", range(4))
def test_every_wish_of_an_accepted_brief_holds_in_the_house(part: int) -> None:
    found = {n: judged(n) for n in range(part, BRIEFS, 4)}
    assert {line(recipe(n)): words for n, words in found.items() if words} == {}
    assert sum(words is not None for words in found.values()) >= 3


ASKED: dict[str, Any] = {
    "plot": [30, 40],
    "gate": "east",
    "garden": "moss",
    "palette": "frost",
    "roof": {"form": "hip", "profile": "eight", "dormers": 1, "swept": True},
    "rooms": [
        {"kind": "sleeping", "count": 2, "away": ["kitchen"]},
        {"kind": "sleeping", "storey": 2, "area": [9, 60]},
        {"kind": "study", "court": True, "beside_any": ["sleeping", "reception"]},
        {"kind": "tea", "count": 0},
        {"kind": "music", "count": 0},
    ],
}
LIES: tuple[dict[str, Any], ...] = (
    {"plot": [30, 41]},
    {"plot_least": [31, 19]},
    {"plot_most": [45, 39]},
    {"gate": "west"},
    {"sides": {"east": "party"}},
    {"ground": {"southwest": 0, "southeast": 0, "northwest": 2, "northeast": 2}},
    {"mirror": True},
    {"closed": 2},
    {"courts": 3},
    {"storeys": 1},
    {"low": ["left", "rear"]},
    {"gallery": 4},
    {"service": True},
    {"palette": "smoke"},
    {"garden": "pond"},
    {"people": 14},
    {"trade": "musician"},
    *(
        {"roof": {key: value}}
        for key, value in {
            "form": "gable",
            "rear": "flat",
            "cross": "hip",
            "profile": "five",
            "swept": False,
            "dormers": 3,
        }.items()
    ),
    *(
        {"rooms": {key: value}}
        for key, value in {
            "count": 3,
            "area": [200, 300],
            "storey": 2,
            "beside": ["tea"],
            "beside_any": ["tea"],
            "away": ["sleeping", "reception", "kitchen", "stairhall"],
        }.items()
    ),
)


@pytest.fixture(scope="module")
def honest() -> dict[str, Any]:
    return told(design(2, ASKED))


def test_what_is_asked_is_met(honest: dict[str, Any]) -> None:
    assert unmet(honest) == []


@pytest.mark.parametrize("lie", LIES, ids=str)
def test_a_document_that_claims_another_brief_is_caught(
    honest: dict[str, Any], lie: dict[str, Any]
) -> None:
    """The reader is no yes-man: each key, asked otherwise than was built, is found unmet."""
    brief = json.loads(json.dumps(honest["recipe"]["brief"]))
    for key, value in lie.items():
        if key == "roof":
            brief["roof"] |= value
        elif key == "rooms":
            brief["rooms"][2] |= value
        else:
            brief[key] = value
            brief["rooms"] = [w for w in brief["rooms"] if w["kind"] != "music"]
    assert unmet(honest | {"recipe": honest["recipe"] | {"brief": brief}})


def main(count: int) -> int:
    """Judge so many briefs, and print those of which a wish is unmet."""
    seen = wrong = 0
    for number in range(count):
        words = judged(number)
        seen += words is not None
        if words:
            wrong += 1
            print(f"{line(recipe(number))}: {'; '.join(words)}")
    print(f"{count} briefs, {seen} accepted, {wrong} with a wish unmet")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if sys.argv[1:] else 1000))
