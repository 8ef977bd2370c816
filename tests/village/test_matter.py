"""The table of a village: of several traditions it holds what their houses are made of."""

from __future__ import annotations

import numpy as np
import pytest

from genhouse.core.errors import BriefError
from genhouse.house import make
from genhouse.model.brief import Brief, Recipe
from genhouse.traditions.shelf import names
from genhouse.village import matter as matters
from genhouse.village.matter import MOST, OWN, matter


def test_every_cell_of_its_houses_is_in_the_table(monkeypatch: pytest.MonkeyPatch) -> None:
    """Also where all that the traditions know would be too much."""
    some = names()[:2]
    houses = [make(Recipe(seed=7, brief=Brief(tradition=name))).voxels for name in some]
    for most in (MOST, len(matter(some).entries) - 1):
        monkeypatch.setattr(matters, "MOST", most)
        table = matter(some, houses)
        assert len(table.entries) <= most
        for cells in houses:
            used = np.unique(cells.material)
            into = table.of_house(cells.about)
            told = [table.entries[n].name for n in into[used]]
            assert told == [cells.about.materials[n].name for n in used]
            assert table.own(OWN[0].name) == 1


def test_more_than_a_byte_tells_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(matters, "MOST", len(OWN))
    with pytest.raises(
        BriefError, match=r"^tradition: .* materials, and a village has \d+ at most"
    ):
        matter(names()[:1])
