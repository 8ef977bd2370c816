"""What roofs of a tradition are like: how they rise, how high their walls stand, which forms they have."""

from __future__ import annotations

from typing import Annotated, Literal

from msgspec import Meta

from genhouse.core.errors import BriefError
from genhouse.model.roof import RoofForm
from genhouse.traditions.plan import Chance
from genhouse.traditions.reading import Pairs, Table

Natural = Annotated[int, Meta(ge=0)]
Whole = Annotated[int, Meta(ge=1)]
Lift = Annotated[int, Meta(ge=0, le=8, multiple_of=2)]


class Profile(Table, frozen=True, kw_only=True):
    """How a slope rises.  sun: in ten of run.  steep: over the last courses of the widest wing.

    rise: of a curved roof, as a fraction (over, under) of its span.  weight: how often it is drawn.
    """

    name: str
    kind: Literal["straight", "steepening", "curve"]
    weight: Whole
    sun: Natural = 0
    steep: Annotated[int, Meta(ge=0, le=20)] = 0
    rise: tuple[Natural, Whole] = (0, 1)


class Rank(Table, frozen=True, kw_only=True):
    """How high the walls of one house stand over its highest beams: so many half cells, ``all`` of them,
    ``behind`` those clear of the first court, ``wings`` by the name of a wing.  long: whether an atrium is
    as high as its length tells, not its width; so is one that has upper rooms behind it.  What stands
    behind an atrium is lowered until it is no higher.  weight: how often it is drawn.
    """

    weight: Whole
    all: Lift = 0
    behind: Lift = 0
    wings: Pairs[str, Lift] = ()
    long: bool = False


class RoofRule(Table, frozen=True, kw_only=True):
    """outside, court: overhangs in courses, each ``gentle`` half cells below the last.  verge: likewise.

    lean: sun of a slope that only falls to the court, 0 for that of all slopes.  forms: (form, weight) for
    the seed to draw from; behind: of the wings that stand clear of the first court, where given.
    two_tier, swept, dormers, high_hall: chances, (of, in).  ranks: of one of these is each house, if of
    any.  rafter, beam: longest run and clear span in cells between two bearings, in plan.
    """

    outside: Annotated[int, Meta(ge=0, le=3)]
    court: Annotated[int, Meta(ge=0, le=1)]
    gentle: Annotated[int, Meta(ge=0, le=1)]
    verge: Natural
    lean: Annotated[int, Meta(ge=0, le=12)]
    rafter: Annotated[int, Meta(ge=3)]
    beam: Whole
    forms: Annotated[tuple[tuple[RoofForm | Literal["inward"], Whole], ...], Meta(min_length=1)]
    behind: tuple[tuple[RoofForm | Literal["inward"], Whole], ...] = ()
    two_tier: Chance
    swept: Chance
    dormers: Chance
    high_hall: Chance
    ranks: tuple[Rank, ...] = ()
    profiles: Annotated[tuple[Profile, ...], Meta(min_length=1)]

    def profile(self, name: str) -> Profile:
        """A profile by name; BriefError names those there are."""
        for profile in self.profiles:
            if profile.name == name:
                return profile
        known = ", ".join(p.name for p in self.profiles)
        raise BriefError(f"roof.profile: there is no profile {name!r}; try {known}")
