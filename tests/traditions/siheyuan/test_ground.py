"""Siheyuan on ground that falls: halls, links and ears about one court."""

from __future__ import annotations

from genhouse.core.draw import Draw
from genhouse.core.errors import InfeasibleError
from genhouse.model.brief import Brief, Ground
from genhouse.stages.siting import plan_site
from genhouse.stages.terraces import fall_of
from genhouse.traditions.loader import load_tradition

DEEP = 2
"""Cells that one may fall where nothing stands in the way (inspection/guards.py)."""


def test_what_stands_about_a_court_lies_as_near_to_it_as_a_fall_without_a_rail() -> None:
    """Links and ears too, which are on no side of it alone."""
    links = 0
    for seed in range(6100, 6160):
        dice = Draw(seed).at("ground")
        southwest, southeast, northwest, northeast = (dice.below(5, str(n)) for n in range(4))
        ground = Ground(
            southwest=southwest, southeast=southeast, northwest=northwest, northeast=northeast
        )
        siheyuan = load_tradition("siheyuan").on_slope(ground.rise)
        try:
            brief = Brief(tradition="siheyuan", ground=ground)
            site = plan_site(brief, siheyuan, Draw(seed).at("site"))
        except InfeasibleError:
            continue
        for court in site.courts:
            about = [wing for wing in site.wings if wing.rect.adjoins(court)]
            falls = [fall_of(site, (wing.rect.grown(-1),))[0] for wing in about]
            assert max(falls) - min(falls) <= DEEP, (seed, court)
            links += len(about) > 4 and max(falls) > min(falls)
    assert links > 10
