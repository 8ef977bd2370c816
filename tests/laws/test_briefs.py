"""What holds of any brief, every key of it drawn, rooms and roof wishes together: a sound house, or a
refusal in one sentence.  ``python -m tests.sweep --briefs`` looks at thousands, and times refusals."""

from __future__ import annotations

from contextlib import nullcontext
from unittest.mock import patch

import pytest
from hypothesis import given, settings

from genhouse.core.errors import GenhouseError
from genhouse.generate import recipe as stages
from genhouse.model.brief import Recipe
from genhouse.sound import sound
from tests.briefs import line, recipe, recipes
from tests.houses import arrays
from tests.outside.checker import check_arrays

PARTS, EACH = 20, 25
"""Five hundred briefs, in parts that share the processors."""
CLOSELY = 6
"""Every so many pass the outside checker too, or hear why they are refused and what would do."""


def answered(asked: Recipe, *, closely: bool) -> str:
    """What is wrong with the answer to a brief, and the line that asks for it; empty where nothing is."""
    told = nullcontext() if closely else patch.object(stages, "explained", lambda e, *_: e)
    try:
        with told:
            found = sound(asked)
    except GenhouseError as error:
        return "" if str(error) and "\n" not in str(error) else f"{error!r}: {line(asked)}"
    except Exception as error:
        return f"{error!r}: {line(asked)}"
    faults = [str(finding) for finding in found.report.findings]
    if closely:
        faults += map(str, check_arrays(arrays(found.voxels), asked.brief.light))
    return f"{faults}: {line(asked)}" if faults else ""


@pytest.mark.parametrize("part", range(PARTS))
def test_whole_random_briefs_are_answered_by_sound_houses_or_refusals(part: int) -> None:
    numbers = range(part * EACH, (part + 1) * EACH)
    said = [answered(recipe(n), closely=n % CLOSELY == 0) for n in numbers]
    assert [sentence for sentence in said if sentence] == []


@given(recipes())
@settings(max_examples=20)
def test_hypothesis_finds_no_brief_that_is_not(asked: Recipe) -> None:
    assert answered(asked, closely=False) == ""
