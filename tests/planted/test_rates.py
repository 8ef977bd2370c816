"""Whatever is changed in a saved house, wherever chance has it, is found when it is read again."""

from __future__ import annotations

import pytest

from tests.planted.rates import CLASSES, tried

EACH = 3


@pytest.mark.parametrize("what", CLASSES)
def test_no_random_change_gets_past_the_list_and_the_record(what: str) -> None:
    for number in range(EACH):
        found = tried((what, number))
        assert found.held, found
