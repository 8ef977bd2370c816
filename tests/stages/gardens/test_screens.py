"""The wall before a gate: how it is made, and that a court is left behind it."""

from __future__ import annotations

import pytest

from genhouse.core.box import Rect
from genhouse.generate.draws import Draws
from genhouse.generate.layout import lay_out
from genhouse.model.brief import Brief, Recipe
from genhouse.stages.gardens.screens import screen_ground, screen_pieces


def test_it_stands_on_a_foot_and_has_a_cap_from_end_to_end() -> None:
    pieces = screen_pieces(Rect(2, 5, 7, 6))
    assert {x for x, _, _ in pieces} == set(range(2, 7))
    assert {z for _, _, z in pieces} == {0, 1, 2, 3}
    uses = {z: [pieces[x, 5, z][0] for x in range(2, 7)] for z in range(4)}
    assert uses[0] == ["screen-foot"] * 5
    assert uses[1] == ["screen-wall", *["screen-panel"] * 3, "screen-wall"]
    assert uses[3] == ["screen-cap"] * 5


@pytest.mark.parametrize("seed", [1, 4])
def test_it_reaches_past_the_way_in_and_leaves_one_round_it(seed: int) -> None:
    found = lay_out(Draws(Recipe(seed=seed, brief=Brief(tradition="siheyuan"))))
    row = screen_ground(found.site, found.rooms)
    ground = found.site.garden(found.site.courts[0])
    assert row is not None
    assert ground.holds(row)
    assert row.width < ground.width
    front = found.rooms.front
    assert row.x0 < front.x0
    assert front.x1 < row.x1 or row.x1 == ground.x1, "or up to the end of the yard"
