"""Yards: what grows there keeps clear of the house, of the way to its gate, and of its eaves."""

from __future__ import annotations

from hypothesis import given, reject, settings
from hypothesis import strategies as st

from genhouse.core.box import Rect
from genhouse.core.draw import Draw
from genhouse.core.errors import InfeasibleError
from genhouse.model.brief import Brief
from genhouse.stages._land import grounds, way_in
from genhouse.stages.site import Site
from genhouse.stages.siting import plan_site
from genhouse.stages.yards import USES, plan_yards
from genhouse.traditions.shelf import ARRANGEMENTS
from tests.houses import TIMBER


@given(st.integers(0, 2**64 - 1), st.sampled_from(ARRANGEMENTS))
@settings(max_examples=80)
def test_what_grows_in_a_yard_stays_there(seed: int, name: str) -> None:
    brief = Brief(plot=(34, 44), gate="south", arrangement=name)
    try:
        site = plan_site(brief, TIMBER, Draw(seed).at("site"))
    except InfeasibleError:
        reject()
    front = door(site)
    open_ground, pieces = grounds(site, front), plan_yards(site, front, Draw(seed).at("yards"))
    assert {(x, y) for x, y, *_ in pieces} <= open_ground
    for rect in (*(wing.rect for wing in site.wings), *site.courts, *site.walls):
        eaves = rect.grown(TIMBER.bays.margin)
        assert not any(eaves.has(x, y) for x, y in open_ground)
    assert not any(way_in(site, front).has(x, y) for x, y in open_ground)


def door(site: Site) -> Rect:
    """A door in the front of a house, or in the wall before its court."""
    x, y = site.approach.x0 + 1, site.approach.y1
    return Rect(x, y, x + 1, y + 1)


def test_every_use_is_seen() -> None:
    seen: set[str] = set()
    for seed in range(30):
        brief = Brief(plot=(34, 44), gate="south", arrangement="rambling")
        site = plan_site(brief, TIMBER, Draw(seed).at("site"))
        seen |= {use for *_, use, _ in plan_yards(site, door(site), Draw(seed).at("yards"))}
    assert {"hedge", "shrub", "trunk"} <= seen


def test_one_gets_across_a_bed_that_runs_from_hedge_to_hedge() -> None:
    """Rows of eight cells between two hedges, by hand: the fourth of each is left out."""
    ground, hedge = Rect(0, 0, 10, 5), {(x, y) for x in (0, 9) for y in range(5)}
    beds = {(x, y) for x, y, _ in USES["kitchen garden"](ground, hedge, along("x"))}
    assert beds == {(x, y) for x in range(1, 9) for y in (1, 3)} - {(4, 1), (4, 3)}
    open_ended = {(x, y) for x, y, _ in USES["kitchen garden"](ground, set(), along("x"))}
    assert open_ended == {(x, y) for x in range(1, 9) for y in (1, 3)}


def along(axis: str) -> Draw:
    """A draw by which rows run so."""
    return next(d for d in map(Draw, range(20)) if d.choice(("x", "y"), "rows") == axis)
