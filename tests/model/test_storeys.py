"""Storeys stand on each other, whatever their heights and number."""

from __future__ import annotations

import pytest

from genhouse.model.storeys import Full, Heights, Top
from tests.houses import TIMBER


def test_the_timber_house_stands_as_its_guide_says() -> None:
    """DEVELOPERS.md, Frames and heights: floors z = 2 and 7, tie beams 5 and 7, plate 10 (or 7)."""
    low, high = TIMBER.storeys
    assert (low.slab, low.floor, low.tie, low.head) == (2, 3, 5, 7)
    assert (high.slab, high.floor, high.tie, high.head) == (7, 8, None, 10)
    assert TIMBER.with_storeys(1).storeys == (low,)


@pytest.mark.parametrize("count", range(1, 7))
def test_each_floor_lies_on_the_head_below(count: int) -> None:
    heights = Heights(ground=2, full=Full(tie=3, head=5), top=Top(head=2))
    storeys = heights.stacked(count)
    assert len(storeys) == count
    assert [s.slab for s in storeys] == [2 + 6 * n for n in range(count)]
    full = storeys[:-1] or storeys
    assert {(s.lintel - s.floor, s.head - s.floor) for s in full} == {(3, 5)}
    if count > 1:
        assert storeys[-1].head - storeys[-1].floor == 2 == storeys[-1].lintel - storeys[-1].floor
