"""Why a brief has no answer: a smallest set of its requirements that conflict.

The set is found by QuickXplain (U. Junker, "QUICKXPLAIN: Preferred explanations and relaxations for
over-constrained problems", AAAI 2004), which keeps in the conflict what stands late in the brief and
spares what stands first: a client says first what they care about.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass, fields, replace
from typing import Any

from genhouse.core.effort import SpentError
from genhouse.model.brief import Brief, RoofWish, Wish, line_name
from genhouse.model.roof import WINGS
from genhouse.traditions.sense import hearth_of
from genhouse.traditions.shelf import tables


@dataclass(frozen=True, slots=True)
class Requirement:
    """One thing that a brief asks.  key: where it stands.  text: as a client would say it."""

    key: tuple[str | int, ...]
    text: str


ASKED = ("area", "storey", "beside", "beside_any", "away", "court")
"""What a line of the programme asks of its rooms, beside their number."""
FREE = {
    "low": "all wings high",
    "gallery": "no gallery",
    "service": "no service court",
    "mirror": "a mirrored house",
    "palette": "palette {}",
    "garden": "garden {}",
}
"""What else a brief may ask, and how a client would say it."""
PLAIN = Wish(kind="")

Works = Callable[[Brief], bool]
"""Whether a house answers a brief."""


def requirements(brief: Brief) -> tuple[Requirement, ...]:
    """Everything that could be given up, in the order of the brief: the plot, then line by line."""
    said = [*_of_house(brief), *_of_roof(brief.roof)]
    return (*(Requirement((*key,), text) for key, text in said), *_of_rooms(brief))


def wishes(brief: Brief) -> tuple[Requirement, ...]:
    """All that a brief asks, also what no house is refused for: its gate, its garden, what it has not."""
    bound = requirements(brief)
    known = {r.key for r in bound}
    free = [r for r in _free(brief) if r.key not in known]
    return (*bound, *free)


def _free(brief: Brief) -> Iterator[Requirement]:
    for key, text in FREE.items():
        if (value := getattr(brief, key)) != getattr(Brief(), key):
            yield Requirement((key,), text.format(value))
    for field in fields(RoofWish):
        if getattr(brief.roof, field.name) is not None:
            yield Requirement(("roof", field.name), f"no {_of_slopes(field.name, '')}")
    for n, wish in enumerate(brief.rooms):
        if wish.quiet is not None:
            text = "quiet" if wish.quiet else "not quiet"
            yield Requirement((n, "quiet"), f"{line_name(n)}: {wish.kind} {text}")


def _of_house(brief: Brief) -> Iterator[tuple[tuple[str, ...], str]]:
    if brief.plot:
        yield ("plot",), f"plot {brief.plot[0]} x {brief.plot[1]}"
    if brief.outline:
        given = isinstance(brief.outline, tuple)
        words = (
            f"an outline of {len(brief.outline)} corners" if given else f"outline {brief.outline}"
        )
        yield ("outline",), words
    for key in ("plot_least", "plot_most"):
        if plot := getattr(brief, key):
            yield (key,), f"{key} {plot[0]} x {plot[1]}"
    if party := brief.sides.party:
        yield ("sides",), f"a neighbour to the {' and '.join(party)}"
    if brief.ground != Brief().ground:
        yield ("ground",), "ground that falls"
    if brief.gate is not None:
        yield ("gate",), f"a gate to the {brief.gate}"
    if brief.closed is not None:
        yield ("closed",), f"a court closed on {brief.closed} sides"
    if brief.storeys is not None:
        yield ("storeys",), f"storeys {brief.storeys}"
    if brief.arrangement is not None:
        yield ("arrangement",), f"arrangement {brief.arrangement}"
    if brief.courts is not None:
        yield ("courts",), f"{brief.courts} x court"
    if brief.service:
        yield ("service",), "a service court"
    if brief.low:
        yield ("low",), f"one storey in the {' and '.join(brief.low)} wing"
    if brief.gallery:
        sides = "" if brief.gallery is True else f" on {brief.gallery} sides"
        yield ("gallery",), f"a gallery{sides}"
    if brief.people:
        yield ("people",), f"a household of {brief.people}"
    if brief.trade:
        yield ("trade",), f"a {brief.trade}'s rooms"
    if brief.light != Brief().light:
        yield ("light",), f"light {brief.light}"


def _of_roof(wish: RoofWish) -> Iterator[tuple[tuple[str, ...], str]]:
    for field in fields(wish):
        if value := getattr(wish, field.name):
            yield ("roof", field.name), _of_slopes(field.name, value)


def _of_slopes(key: str, value: str | int) -> str:
    """What a key of the roof asks."""
    if key in WINGS:
        return f"a {value} roof over the {key} wing"
    words = {
        "form": f"roof {value}",
        "profile": f"slope {value}",
        "swept": "lifted corners",
        "dormers": f"dormers: {value}" if value else "dormers",
    }
    return words[key]


def _of_rooms(brief: Brief) -> Iterator[Requirement]:
    """Line by line.  One room with the hearth, as every house has, asks for nothing."""
    every = {hearth_of(tables(brief.tradition)["kind"])}
    for n, wish in enumerate(brief.rooms):
        if wish.kind in every and wish.count == 1:
            every.remove(wish.kind)
        else:
            yield Requirement((n, "count"), f"{line_name(n)}: {wish.count} x {wish.kind}")
        for key in ASKED:
            value = getattr(wish, key)
            if value not in (None, ()):
                yield Requirement((n, key), f"{line_name(n)}: {wish.kind} {_said(key, value)}")


def _said(key: str, value: object) -> str:
    """What a line asks of its rooms, beside their number."""
    if not isinstance(value, tuple):
        return f"{key} {str(value).lower()}"
    joined = {"area": " to ", "beside_any": " or "}.get(key, " and ")
    return f"{key.removesuffix('_any')} {joined.join(map(str, value))}"


def keeping(brief: Brief, kept: Sequence[Requirement]) -> Brief:
    """The brief with only these requirements; without its count, a line of the programme is gone."""
    return without(brief, [r for r in requirements(brief) if r not in kept])


def without(brief: Brief, given_up: Collection[Requirement]) -> Brief:
    """The brief without some of its requirements."""
    keys = {r.key for r in given_up}
    rooms = (
        replace(wish, **{key: getattr(PLAIN, key) for key in (*ASKED, "quiet") if (n, key) in keys})
        for n, wish in enumerate(brief.rooms)
        if (n, "count") not in keys
    )
    roof: dict[str, Any] = {f.name: f.default for f in fields(RoofWish) if ("roof", f.name) in keys}
    house: dict[str, Any] = {f.name: f.default for f in fields(Brief) if (f.name,) in keys}
    return replace(brief, rooms=tuple(rooms), roof=replace(brief.roof, **roof), **house)


def conflict(
    brief: Brief, works: Works, asked: tuple[Requirement, ...] | None = None
) -> tuple[Requirement, ...]:
    """A minimal conflict of a brief that does not work: no house is found that has all of it, and
    dropping any one of it makes one possible.  asked: what it may consist of; its requirements.

    Empty where no house is possible even without any requirement; everything that is asked, minimal
    or not, where what may be tried is spent.
    """
    everything = requirements(brief) if asked is None else asked

    def possible(kept: Sequence[Requirement]) -> bool:
        return works(without(brief, [r for r in everything if r not in kept]))

    try:
        if not possible(()):
            return ()
        found = sorted(_quickxplain((), False, everything, possible), key=everything.index)
        return everything if possible(found) else tuple(found)
    except SpentError:
        return everything


def _quickxplain(
    background: tuple[Requirement, ...],
    changed: bool,
    wishes: tuple[Requirement, ...],
    possible: Callable[[Sequence[Requirement]], bool],
) -> tuple[Requirement, ...]:
    if changed and not possible(background):
        return ()
    if len(wishes) <= 1:
        return wishes
    half = len(wishes) // 2
    first, last = wishes[:half], wishes[half:]
    late = _quickxplain(background + first, True, last, possible)
    early = _quickxplain(background + late, bool(late), first, possible)
    return early + late
