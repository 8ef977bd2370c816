"""Which form and profile each wing's roof has: as the brief asks, or as the seed draws."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from genhouse.core.draw import Draw
from genhouse.model.brief import RoofWish
from genhouse.model.roof import RoofForm
from genhouse.stages._prisms import Style, Styles
from genhouse.stages._profiles import exact, slope
from genhouse.stages._raised import tier_place
from genhouse.stages.site import Site, Wing
from genhouse.traditions.loader import Profile, RoofRule, Tradition

TRIES = 3
"""Roofs that are drawn for a house, of which the calmest is built."""


def styles(
    site: Site, flue: tuple[int, int], tradition: Tradition, wish: RoofWish, draw: Draw
) -> Iterator[Styles]:
    """Some ways to roof a house, each with one profile all over."""
    rule = tradition.roof
    raise_hall = draw.chance(*rule.high_hall, "high hall")
    for n in range(TRIES if wish.form is None or wish.profile is None else 1):
        here = draw.at(n)
        form: str = wish.form or here.choice([f for f, _ in rule.forms], "form", _weights(rule))
        profile = (
            rule.profile(wish.profile)
            if wish.profile
            else here.choice(rule.profiles, "profile", [p.weight for p in rule.profiles])
        )
        yield {
            wing: _style(site, wing, _form(site, wing, form, flue, rule, wish, draw), profile,
                         tradition, high=raise_hall)
            for wing in site.wings
        }  # fmt: skip


def _weights(rule: RoofRule) -> list[int]:
    return [weight for _, weight in rule.forms]


def _form(
    site: Site,
    wing: Wing,
    form: str,
    flue: tuple[int, int],
    rule: RoofRule,
    wish: RoofWish,
    draw: Draw,
) -> RoofForm:
    """The form of one wing.  A cross wing between two courts falls to both, never to one."""
    asked: RoofForm | None = getattr(wish, wing.name)
    if form == "inward":
        found: RoofForm = asked or ("gable" if wing.name == "cross" else "lean-to")
    else:
        found = asked or form  # type: ignore[assignment]
    if found == "lean-to" and wing.name == "cross":
        found = "gable"
    tier = tier_place(site, wing, flue) is not None
    if asked is None and wing.name == "rear" and tier and found in ("gable", "hip"):
        found = "two-tier" if draw.chance(*rule.two_tier, "two-tier") else found
    return "hip" if found == "two-tier" and not tier else found


def _style(
    site: Site, wing: Wing, form: RoofForm, profile: Profile, tradition: Tradition, *, high: bool
) -> Style:
    """Profile and height of one wing's roof.

    A hall stands a cell higher: the rear wing where it is the widest of all; so do upper rooms
    without a slope to stand under.
    """
    rule, levels = tradition.roof, tradition.levels
    base = 2 * (levels.plate + 2)
    spans = [w.span for w in site.wings]
    widest = wing.span == max(spans) > min(spans)
    if form == "lean-to":
        lean = replace(profile, kind="straight", sun=rule.lean)
        span = 2 * wing.span
        return Style(
            form=form, profile=lean, exact=exact(span, lean), courses=slope(span, lean), base=base
        )
    hall = high and widest and wing.name == "rear"
    if hall or (form == "flat" and levels.plate > levels.upper_tie):
        base += 2
    steep = widest and form != "two-tier"
    return Style(
        form=form,
        profile=profile,
        exact=exact(wing.span, profile, steep=steep),
        courses=slope(wing.span, profile, steep=steep),
        base=base,
    )
