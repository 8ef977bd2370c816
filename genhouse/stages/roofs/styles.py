"""Which form and profile each wing's roof has: as the brief asks, or as the seed draws."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from functools import cache

from msgspec.structs import replace

from genhouse.core.draw import Draw
from genhouse.core.errors import InfeasibleError
from genhouse.model.brief import RoofWish
from genhouse.model.roof import HIPPED, WINGS, RoofForm
from genhouse.stages._bands import TIERED
from genhouse.stages._wings import Wing
from genhouse.stages.roofs.ends import Joints, Style, Styles
from genhouse.stages.roofs.profiles import Pair, even, exact, laid, slope
from genhouse.stages.roofs.raised import LEAST_TIER, tier_place
from genhouse.stages.roofs.ranks import HIGH, lowest, ways
from genhouse.traditions.roofs import Profile, RoofRule
from genhouse.traditions.tradition import Tradition

TRIES = 3
"""Roofs that are drawn for a house, of which the calmest is built."""
ASKED_TRIES = 9
"""The same where a client asks for details that not every roof can have."""
FLATTEST = 4
"""Sun of the flattest slope that tile keeps dry, to a length of 8 m (shared/field-notes.md, 2.1)."""


def styles(
    joints: Joints, flue: tuple[int, int], tradition: Tradition, wish: RoofWish, draw: Draw
) -> Iterator[Styles]:
    """Some ways to roof a house, each with one profile all over."""
    rule = tradition.roof
    tiered = _tiered(joints, flue, wish)
    site = joints.site
    rears = (site.round(court).get("north") for court in reversed(site.courts))
    last = next((wing for wing in rears if wing is not None), None)
    unasked = (
        tiered is not None
        and tiered == last
        and wish.form is None
        and draw.chance(*rule.two_tier, "two-tier")
    )
    spans = [joints.span(wing) for wing in site.wings]
    tallest = max(wing.storeys for wing in site.wings)
    wide = last is not None and joints.span(last) == max(spans) > min(spans)
    high = wide and last is not None and last.storeys == tallest
    hall = last if high and draw.chance(*rule.high_hall, "high hall") else None
    forms = dict(_drawable(rule, wish)) or {"hip": 1}
    first = [wing for wing in site.wings if wing.rect.adjoins(site.courts[0])]
    tries = ASKED_TRIES if wish.swept or wish.dormers else TRIES
    for n in range(tries if wish.form is None or wish.profile is None else 1):
        here = draw.at(n)
        form: str = wish.form or here.choice(list(forms), "form", list(forms.values()))
        profile = (
            rule.profile(wish.profile)
            if wish.profile
            else here.choice(rule.profiles, "profile", [p.weight for p in rule.profiles])
        )
        rest = _behind(rule, wish, here)
        made = (
            _styled(
                joints,
                {
                    wing: _form(
                        joints,
                        wing,
                        form if wing in first else way.form or form,
                        tiered,
                        tiered if unasked and way.proud else None,
                        wish,
                        level=not rule.gentle,
                    )
                    for wing in site.wings
                },
                profile,
                tradition,
                way.lifts,
                hall if way.proud else None,
            )
            for way in ways(joints, tradition, rest, draw)
        )
        yield next(made) if tradition.atrium is None else lowest(made, first)


def _styled(
    joints: Joints,
    forms: Mapping[Wing, RoofForm],
    profile: Profile,
    tradition: Tradition,
    lifts: Mapping[Wing, int],
    hall: Wing | None,
) -> Styles:
    """Each wing's roof, of its form and so much above its beams; a hall that is no lean-to higher still."""
    spans = {wing: joints.span(wing) for wing in forms}
    most = max(spans.values())
    widest = most if most > min(spans.values()) else None
    leaning = [
        spans[wing]
        for wing, form in forms.items()
        if form == "lean-to" and _against(joints, wing) is None
    ]
    return {
        wing: _lean_to(joints, wing, profile, tradition, leaning, lifts)
        if form == "lean-to"
        else _style(
            wing,
            form,
            profile,
            tradition,
            span=spans[wing],
            widest=spans[wing] == widest,
            lift=lifts[wing] + HIGH * (wing == hall),
        )
        for wing, form in forms.items()
    }


def _drawable(rule: RoofRule, wish: RoofWish) -> Iterator[tuple[str, int]]:
    """Forms for the seed to draw from, with their weights: hipped where corners are to be lifted."""
    lifted = bool(wish.swept) and not {wish.front, wish.rear} & {*HIPPED}
    return ((form, weight) for form, weight in rule.forms if form in HIPPED or not lifted)


def _behind(rule: RoofRule, wish: RoofWish, draw: Draw) -> str:
    """The form of the wings that stand clear of the first court; empty where it is that of all."""
    if wish.form or wish.swept or not rule.behind:
        return ""
    forms = dict(rule.behind)
    return draw.choice(list(forms), "form behind", list(forms.values()))


def _tiered(joints: Joints, flue: tuple[int, int], wish: RoofWish) -> Wing | None:
    """The wing farthest from the gate that can carry a raised tier, whether or not it will.

    Raises InfeasibleError where the brief asks for a tier that finds no place.
    """
    named = [name for name in WINGS if getattr(wish, name) == "two-tier"]
    able = [
        wing
        for wing in joints.site.roofed
        if (wing.name in named if named else getattr(wish, wing.name, None) is None)
        and not any(joints.edges[wing][1])
        and tier_place(joints, wing, flue) is not None
    ]
    found = max(able, key=lambda wing: wing.rect.y0, default=None)
    if found is None and (named or wish.form == "two-tier"):
        raise InfeasibleError(
            f"roof.{named[0] if named else 'form'}: a raised tier needs a wing {TIERED} cells wide with "
            f"{LEAST_TIER} cells of ridge along the court clear of the chimney, and "
            + (f"the {named[0]} wing is not one" if named else "there is none"),
            stage="roof",
        )
    return found


def _form(
    joints: Joints,
    wing: Wing,
    form: str,
    tiered: Wing | None,
    raised: Wing | None,
    wish: RoofWish,
    *,
    level: bool,
) -> RoofForm:
    """The form of one wing.  One between two courts falls to both, never to one; from the edge of the
    plot and from a higher wall a roof falls away, or is flat between two edges, and wherever eaves are
    level: then a parapet stands on every edge.

    tiered: the wing that can carry a raised tier.  raised: the same, where it does so unasked.  level:
    whether eaves are.
    """
    asked: RoofForm | None = getattr(wish, wing.name, None)
    sided = joints.high_side(wing) is not None
    edges = joints.edges[wing][1]
    leans = any(edges) or _against(joints, wing) is not None
    if wing.terrace or all(edges) or (level and leans):
        return "flat"
    if leans:
        return "lean-to"
    if form == "inward":
        found: RoofForm = asked or ("lean-to" if sided else "gable")
    else:
        found = asked or form  # type: ignore[assignment]
    if found == "lean-to" and not sided:
        found = "gable"
    if asked is None and wing == raised and found in ("gable", "hip"):
        found = "two-tier"
    return "hip" if found == "two-tier" and wing != tiered else found


def _against(joints: Joints, wing: Wing) -> Wing | None:
    """The higher wing along a flank of one, on whose wall its roof leans."""
    return next((w for w in joints.flanks[wing] if w is not None and w.over(wing)), None)


def _style(
    wing: Wing,
    form: RoofForm,
    profile: Profile,
    tradition: Tradition,
    *,
    span: int,
    widest: bool,
    lift: int,
) -> Style:
    """Profile and height of one wing's roof, so much above its beams: upper rooms without a slope to stand
    under are a cell higher."""
    base, storey = _base(wing, tradition) + lift, tradition.storeys[wing.storeys - 1]
    if not lift and form == "flat" and storey.under_roof:
        base += HIGH
    heights, courses = _courses(span, profile, widest and form != "two-tier")
    return Style(form=form, profile=profile, exact=heights, courses=courses, base=base)


@cache
def _courses(
    span: int, profile: Profile, steep: bool
) -> tuple[tuple[Fraction, ...], tuple[Pair, ...]]:
    """The courses of a slope, exactly and as laid."""
    return exact(span, profile, steep=steep), slope(span, profile, steep=steep)


def _base(wing: Wing, tradition: Tradition) -> int:
    """Top of the course over the wall of a wing; of a terrace, the deck that one walks on."""
    return 2 * (tradition.storeys[wing.storeys - 1].head + (1 if wing.terrace else 2))


def _lean_to(
    joints: Joints,
    wing: Wing,
    profile: Profile,
    tradition: Tradition,
    spans: Sequence[int],
    lifts: Mapping[Wing, int],
) -> Style:
    """One straight slope; all that fall to a court rise alike, so that their high sides are level.

    spans: of all of these.  The narrowest has the tradition's pitch, if none is then too flat.  One that
    leans on a higher wing rises no higher than the wall there.
    """
    lean = replace(profile, kind="straight", sun=tradition.roof.lean or profile.sun)
    span, wall = joints.span(wing), _against(joints, wing)
    base = _base(wing, tradition) + lifts[wing]
    some = spans if wall is None else [span]
    rise = -(-max(lean.sun * min(some), FLATTEST * max(some)) // 5)
    if wall is not None:
        rise = min(rise, _base(wall, tradition) + lifts[wall] - base)
    heights = even(span, Fraction(rise))
    courses = (*laid(heights)[:-1], (rise, rise))
    return Style(form="lean-to", profile=lean, exact=heights, courses=courses, base=base)
