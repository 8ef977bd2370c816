"""Yards: what grows there keeps clear of the house, of the way to its gate, and of its eaves."""

from __future__ import annotations

from hypothesis import given, reject, settings
from hypothesis import strategies as st

from genhouse.core.draw import Draw
from genhouse.core.errors import InfeasibleError
from genhouse.model.brief import Brief
from genhouse.stages.siting import plan_site
from genhouse.stages.yards import plan_yards, yards
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
    open_ground, pieces = yards(site), plan_yards(site, Draw(seed).at("yards"))
    assert {(x, y) for x, y, *_ in pieces} <= open_ground
    for rect in (*(wing.rect for wing in site.wings), *site.courts, *site.walls):
        eaves = rect.grown(TIMBER.bays.margin)
        assert not any(eaves.has(x, y) for x, y in open_ground)
    assert not any(site.approach.has(x, y) for x, y in open_ground)


def test_every_use_is_seen() -> None:
    seen: set[str] = set()
    for seed in range(30):
        brief = Brief(plot=(34, 44), gate="south", arrangement="rambling")
        site = plan_site(brief, TIMBER, Draw(seed).at("site"))
        seen |= {use for *_, use, _ in plan_yards(site, Draw(seed).at("yards"))}
    assert {"hedge", "shrub", "trunk"} <= seen
