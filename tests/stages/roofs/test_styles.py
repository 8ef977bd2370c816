"""Styles: which wing has which roof, and how high it begins."""

from __future__ import annotations

from functools import cache

from msgspec.structs import replace

from genhouse.core.draw import Draw
from genhouse.generate.draws import Draws
from genhouse.generate.layout import lay_out
from genhouse.model.brief import Brief, Recipe, RoofWish
from genhouse.stages.roofs.ends import joints_of
from genhouse.stages.roofs.styles import styles
from genhouse.stages.rooms import Rooms
from genhouse.stages.site import Site
from tests.houses import TIMBER

PLAIN = RoofWish(form="hip", swept=False, dormers=0)
SEEDS = range(60)


@cache
def laid_out(seed: int) -> tuple[Site, Rooms]:
    found = lay_out(Draws(Recipe(seed=seed, brief=Brief(low=()))))
    return found.site, found.rooms


def bases(seed: int, chance: tuple[int, int]) -> dict[str, int]:
    """Where the roof of each wing begins, in half cells, where so many halls in so many are high."""
    site, rooms = laid_out(seed)
    tradition = replace(TIMBER, roof=replace(TIMBER.roof, high_hall=chance))
    found = next(
        styles(joints_of(site), rooms.hearth.cell, tradition, PLAIN, Draw(seed).at("roof"))
    )
    return {wing.name: style.base for wing, style in found.items()}


def may_be_high(seed: int) -> bool:
    """Whether the rear wing is wider than every other, or as wide, and not all are alike."""
    site, _ = laid_out(seed)
    spans = {wing.name: site.frame(wing).depth - 1 for wing in site.wings}
    return "rear" in spans and spans["rear"] == max(spans.values()) > min(spans.values())


def test_a_high_hall_begins_a_cell_higher_than_the_other_wings() -> None:
    """In every house whose rear wing may be one, where the tradition would have them all so."""
    some = [seed for seed in SEEDS if may_be_high(seed)]
    assert len(some) > 10
    for seed in SEEDS:
        never, always = bases(seed, (0, 1)), bases(seed, (1, 1))
        storeys = {wing.name: wing.storeys for wing in laid_out(seed)[0].wings}
        assert len({(storeys[name], base) for name, base in never.items()}) == len(
            {*storeys.values()}
        )
        higher = {"rear": never["rear"] + 2} if seed in some else {}
        assert always == never | higher, seed


def test_as_many_halls_are_high_as_the_tradition_says() -> None:
    """Within three standard deviations of a binomial draw."""
    part, whole = TIMBER.roof.high_hall
    some = [seed for seed in SEEDS if may_be_high(seed)]
    high = sum(bases(seed, (part, whole)) != bases(seed, (0, 1)) for seed in some)
    chance = part / whole
    assert abs(high - chance * len(some)) <= 3 * (len(some) * chance * (1 - chance)) ** 0.5
    assert high > 0
