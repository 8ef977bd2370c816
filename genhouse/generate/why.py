"""Why a brief has no answer: a smallest set of its requirements that conflict, and what would work.

The set is found by QuickXplain (U. Junker, "QUICKXPLAIN: Preferred explanations and relaxations for
over-constrained problems", AAAI 2004), which keeps in the conflict what stands late in the brief and
spares what stands first: a client says first what they care about.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from genhouse.core.errors import InfeasibleError
from genhouse.model.bounds import LARGEST_PLOT
from genhouse.model.brief import Brief, Wish


@dataclass(frozen=True, slots=True)
class Requirement:
    """One thing that a brief asks.  key: where it stands.  text: as a client would say it."""

    key: tuple[str | int, ...]
    text: str


ASKED = ("area", "storey", "beside", "beside_any", "away", "court")
"""What a line of the programme asks of its rooms, beside their number."""

Works = Callable[[Brief], bool]
"""Whether a house answers a brief."""


def requirements(brief: Brief) -> tuple[Requirement, ...]:
    """Everything that could be given up, in the order of the brief: the plot, then line by line."""
    found: list[Requirement] = []
    if brief.plot is not None:
        found.append(Requirement(("plot",), f"plot {brief.plot[0]} x {brief.plot[1]}"))
    if brief.closed is not None:
        found.append(Requirement(("closed",), f"a court closed on {brief.closed} sides"))
    if brief.storeys != 2:
        found.append(Requirement(("storeys",), f"storeys {brief.storeys}"))
    if brief.courts is not None:
        found.append(Requirement(("courts",), f"{brief.courts} x court"))
    if brief.service:
        found.append(Requirement(("service",), "a service court"))
    if brief.low:
        names = " and ".join(brief.low)
        found.append(Requirement(("low",), f"one storey in the {names} wing"))
    if brief.gallery:
        sides = "" if brief.gallery is True else f" on {brief.gallery} sides"
        found.append(Requirement(("gallery",), f"a gallery{sides}"))
    for n, wish in enumerate(brief.rooms):
        found.append(Requirement((n, "count"), f"rooms[{n}] {wish.count} x {wish.kind}"))
        for key in ASKED:
            value = getattr(wish, key)
            if value not in (None, ()):
                found.append(Requirement((n, key), f"rooms[{n}] {wish.kind} {_said(key, value)}"))
    return tuple(found)


def _said(key: str, value: object) -> str:
    """What a line asks of its rooms, beside their number."""
    if not isinstance(value, tuple):
        return f"{key} {str(value).lower()}"
    joined = {"area": " to ", "beside_any": " or "}.get(key, " and ")
    return f"{key.removesuffix('_any')} {joined.join(map(str, value))}"


def keeping(brief: Brief, kept: Sequence[Requirement]) -> Brief:
    """The brief with only these requirements; without its count, a line of the programme is gone."""
    keys = {r.key for r in kept}
    plain = Wish(kind="")
    wishes: list[Wish] = []
    for n, wish in enumerate(brief.rooms):
        if (n, "count") in keys:
            wishes.append(
                replace(wish, **{k: getattr(plain, k) for k in ASKED if (n, k) not in keys})
            )
    return replace(
        brief,
        rooms=tuple(wishes),
        plot=brief.plot if ("plot",) in keys else None,
        closed=brief.closed if ("closed",) in keys else None,
        courts=brief.courts if ("courts",) in keys else None,
        storeys=brief.storeys if ("storeys",) in keys else 2,
        low=brief.low if not brief.low or ("low",) in keys else None,
        service=brief.service if not brief.service or ("service",) in keys else None,
        gallery=brief.gallery if not brief.gallery or ("gallery",) in keys else None,
    )


def conflict(brief: Brief, works: Works) -> tuple[Requirement, ...]:
    """A minimal conflict: no house meets all of it, dropping any one of it makes one possible.

    Empty where the brief works, or where no house is possible even without any requirement.
    """
    everything = requirements(brief)
    if works(brief) or not works(keeping(brief, ())):
        return ()

    def possible(kept: Sequence[Requirement]) -> bool:
        return works(keeping(brief, kept))

    return tuple(sorted(_quickxplain((), False, everything, possible), key=everything.index))


def _quickxplain(
    background: tuple[Requirement, ...],
    changed: bool,
    wishes: tuple[Requirement, ...],
    possible: Callable[[Sequence[Requirement]], bool],
) -> tuple[Requirement, ...]:
    if changed and not possible(background):
        return ()
    if len(wishes) == 1:
        return wishes
    half = len(wishes) // 2
    first, last = wishes[:half], wishes[half:]
    late = _quickxplain(background + first, True, last, possible)
    early = _quickxplain(background + late, bool(late), first, possible)
    return early + late


def offers(brief: Brief, found: Sequence[Requirement], works: Works) -> tuple[str, ...]:
    """The nearest plot and the nearest programme that work."""
    said: list[str] = []
    plot = _nearest_plot(brief, works)
    if plot is not None:
        said.append(f"plot {plot[0]} x {plot[1]}")
    for requirement in found:
        if requirement.key != ("plot",):
            fewer = _fewer(brief, requirement, works)
            said.append(fewer or f"this without {requirement.text}")
            break
    return tuple(said)


def _nearest_plot(brief: Brief, works: Works) -> tuple[int, int] | None:
    """The first larger plot that works, a little wider and deeper each time."""
    if brief.plot is None:
        return None
    width, depth = brief.plot
    while (width, depth) != LARGEST_PLOT:
        width, depth = min(width + 2, LARGEST_PLOT[0]), min(depth + 2, LARGEST_PLOT[1])
        if works(replace(brief, plot=(width, depth))):
            return width, depth
    return None


def _fewer(brief: Brief, requirement: Requirement, works: Works) -> str | None:
    """Fewer rooms of the kind in conflict, as many as work."""
    if requirement.key[-1] != "count" or not isinstance(requirement.key[0], int):
        return None
    n = requirement.key[0]
    wish = brief.rooms[n]
    for count in range(wish.count - 1, 0, -1):
        rooms = (*brief.rooms[:n], replace(wish, count=count), *brief.rooms[n + 1 :])
        if works(replace(brief, rooms=rooms)):
            return f"{count} x {wish.kind}"
    return None


def explained(error: InfeasibleError, brief: Brief, works: Works) -> InfeasibleError:
    """The same refusal, with the conflict named and what would work."""
    found = conflict(brief, works)
    if not found:
        return error
    texts = "; ".join(r.text for r in found)
    return InfeasibleError(
        f"brief: no house has all of: {texts}",
        stage=error.stage,
        offers=offers(brief, found, works),
    )
