"""Layouts: what a house can have is found, whatever the seed; no wish is refused that need not be."""

from __future__ import annotations

import pytest

from genhouse.generate.draws import Draws
from genhouse.generate.layout import lay_out, works
from genhouse.model.brief import Brief, Recipe, RoofWish, Wish

ANSWERABLE = {
    "an entry": Brief(rooms=(Wish(kind="entry"),)),
    "no entry": Brief(rooms=(Wish(kind="entry", count=0),)),
    "a stairhall": Brief(rooms=(Wish(kind="stairhall"),)),
    "a stairhall by the entry": Brief(rooms=(Wish(kind="stairhall", beside=("entry",)),)),
    "a small entry": Brief(rooms=(Wish(kind="entry", area=(9, 16), away=("stairhall",)),)),
    "a low wing": Brief(low=("left",)),
    "a gallery all round": Brief(gallery=4),
    "three courts": Brief(courts=3),
    "a flat front": Brief(roof=RoofWish(front="flat")),
    "a hipped cross wing": Brief(roof=RoofWish(cross="hip")),
    "a left wing that leans": Brief(roof=RoofWish(left="lean-to")),
    "four dormers": Brief(roof=RoofWish(dormers=4)),
    "lifted corners": Brief(roof=RoofWish(swept=True, profile="eight")),
    "upper rooms that open to a court": Brief(
        rooms=(Wish(kind="library", court=True), Wish(kind="weaving", court=True))
    ),
}


@pytest.mark.parametrize("name", ANSWERABLE)
def test_what_a_house_can_have_every_seed_finds(name: str) -> None:
    refused = [n for n in range(8) if not works(Recipe(seed=n, brief=ANSWERABLE[name]))]
    assert refused == []


def test_other_seeds_for_stages_stand_aside_where_they_find_no_plan() -> None:
    """The site stays as it is; whatever the stages' own seeds, the brief is answered."""
    brief = Brief(plot=(26, 34), roof=RoofWish(dormers=3), rooms=(Wish(kind="sleeping", count=3),))
    site = lay_out(Draws(Recipe(seed=4, brief=brief))).site
    for n in range(6):
        seeds = (("bays", n), ("roof", n), ("rooms", n))
        found = lay_out(Draws(Recipe(seed=4, brief=brief, stage_seeds=seeds)))
        assert found.site == site
        assert len(found.roof.dormers) == 3
        assert sum(room.kind == "sleeping" for room in found.rooms.rooms) == 3
