"""Traditions are told apart at a glance: by a histogram of colours, by roofs and by openings."""

from __future__ import annotations

import pytest

from genhouse.traditions.shelf import names
from tests.traditions.looks import told


@pytest.mark.skipif(len(names()) < 2, reason="there is one tradition")
def test_traditions_are_told_apart_at_a_glance() -> None:
    """By the nearest house that one knows, of houses that one has not seen; ``looks`` counts over more."""
    result = told(range(16))
    wrong = {pair: n for pair, n in result.items() if pair[0] != pair[1]}
    assert sum(wrong.values()) <= result.total() // 20, wrong
