"""Mixed briefs are drawn for every way of building, whatever it leaves out."""

from __future__ import annotations

import pytest

from genhouse.generate.mixed import recipe
from genhouse.traditions.shelf import names


@pytest.mark.parametrize("tradition", names())
def test_every_way_of_building_has_its_mixed_briefs(tradition: str) -> None:
    """Two of them draw no outline of their own: it has no names there to choose from."""
    drawn = [recipe(number, tradition).brief for number in range(150)]
    assert tradition in {brief.tradition for brief in drawn}
