"""Ranks against scipy."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from genhouse.outputs.figures._ranks import agreement, ranks

VALUES = st.lists(st.tuples(st.integers(0, 6), st.integers(0, 6)), min_size=2, max_size=20)


@settings(max_examples=40)
@given(VALUES)
def test_ranks_and_their_correlation_are_those_of_scipy(pairs: list[tuple[int, int]]) -> None:
    from scipy.stats import rankdata, spearmanr

    a, b = ([pair[n] for pair in pairs] for n in (0, 1))
    assert [float(rank) for rank in ranks(a)] == rankdata(a).tolist()
    if len(set(a)) > 1 and len(set(b)) > 1:
        assert agreement(a, b) == pytest.approx(spearmanr(a, b).statistic, abs=1e-12)
    else:
        assert agreement(a, b) == 0
