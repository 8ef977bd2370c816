"""The figures of a whole house by name: by these houses are shown and ranked."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from msgspec import Struct

from genhouse.core.errors import BriefError
from genhouse.outputs.figures._tables import CourtFigures, Figures, ShellFigures


class Named(Struct, frozen=True):
    """A figure of the whole house by its name.

    unit: empty for a bare number.  more: whether more of it is taken to be better.  read: raises
    TypeError for a shell where whole, the figure being one of the finished house.
    """

    name: str
    title: str
    unit: str
    meaning: str
    more: bool
    read: Callable[[ShellFigures], float]
    whole: bool = False

    def text(self, value: float) -> str:
        """The value as one says it, without its unit."""
        return f"{value:,.0f}".replace(",", " ") if float(value).is_integer() else f"{value:.2f}"


def _court_mean(f: ShellFigures, value: Callable[[CourtFigures], float]) -> float:
    """Mean over the courts, by the ground that each covers."""
    ground = [c.width * c.depth for c in f.courts]
    whole = sum(g * value(c) for g, c in zip(ground, f.courts, strict=True))
    return whole / max(1, sum(ground))


def _finished(read: Callable[[Figures], float]) -> Callable[[ShellFigures], float]:
    def checked(f: ShellFigures) -> float:
        if type(f) is ShellFigures:
            raise TypeError("a shell has no such figure")
        return read(f)  # type: ignore[arg-type]

    return checked


NAMED = (
    Named("floor", "Clear floor", "cells", "floor indoors, without walls", True, lambda f: f.floor),
    Named(
        "privacy",
        "Privacy order",
        "",
        "1 where quiet rooms lie deepest",
        True,
        lambda f: f.privacy,
    ),
    Named("depth", "Depth", "rooms", "mean, from outside to a room", True, lambda f: f.depth),
    Named(
        "integration",
        "Integration",
        "",
        "mean; over 1, rooms lie near",
        True,
        lambda f: f.integration,
    ),
    Named(
        "difference",
        "Difference factor",
        "",
        "1 where all rooms lie alike",
        False,
        lambda f: f.difference,
    ),
    Named(
        "walk",
        "Walk",
        "cells",
        "mean, from the gate to a room",
        False,
        _finished(lambda f: f.walk),
        whole=True,
    ),
    Named(
        "court-light",
        "Sky over the court",
        "",
        "part of the light on open ground",
        True,
        lambda f: _court_mean(f, lambda c: c.sky),
    ),
    Named(
        "court-width",
        "Court, width to height",
        "",
        "short side to height of wall plate",
        True,
        lambda f: _court_mean(f, lambda c: c.width_to_height),
    ),
    Named(
        "openings",
        "Openings to floor",
        "",
        "windows and screens, to clear floor",
        True,
        lambda f: f.openings_to_floor,
    ),
    Named(
        "strung",
        "Strung rooms",
        "rooms",
        "only through a private room",
        False,
        lambda f: f.lived.strung,
    ),
    Named(
        "hall",
        "Stair hall to reception",
        "",
        "floor to floor; best under 1",
        False,
        lambda f: f.lived.hall,
    ),
    Named(
        "over",
        "Rooms out of measure",
        "rooms",
        "too many or too large",
        False,
        lambda f: f.lived.over,
    ),
    Named(
        "dim",
        "Dim rooms",
        "rooms",
        "glazing under a tenth of the floor",
        False,
        lambda f: f.lived.dim,
    ),
    Named(
        "seats",
        "Seats to sleepers",
        "",
        "at table, for each who sleeps here",
        True,
        _finished(lambda f: f.seats / max(1, f.sleepers)),
        whole=True,
    ),
    Named(
        "hidden",
        "Hidden windows",
        "",
        "windows with a tall fitting before",
        False,
        _finished(lambda f: f.fitted.hidden),
        whole=True,
    ),
    Named(
        "fires-above",
        "Fires above",
        "",
        "fires and firewood on the upper storey",
        False,
        _finished(lambda f: f.fitted.fires_above),
        whole=True,
    ),
    Named(
        "alike",
        "Workrooms alike",
        "rooms",
        "that hold just what another holds",
        False,
        _finished(lambda f: f.fitted.alike),
        whole=True,
    ),
    Named(
        "task-light",
        "Light to work by",
        "rooms",
        "whose lamps suit what is done there",
        True,
        _finished(lambda f: f.fitted.task_lit),
        whole=True,
    ),
    Named(
        "seats-out",
        "Seats by a veranda",
        "",
        "boards and benches out of doors",
        True,
        _finished(lambda f: f.fitted.seats_out),
        whole=True,
    ),
    Named(
        "matched",
        "Matched bays",
        "",
        "outside, like their pair across the middle",
        True,
        lambda f: f.fronts.symmetry,
    ),
    Named(
        "lonely",
        "Lonely windows",
        "windows",
        "that no other of their front answers",
        False,
        lambda f: f.fronts.lonely,
    ),
    Named("ridges", "Ridges", "", "straight ridges of the roof", True, lambda f: f.roof.ridges),
    Named(
        "calm",
        "Unrest of the roof",
        "",
        "short ridges, unlike heights, walls in it",
        False,
        lambda f: f.roof.unrest,
    ),
    Named("valleys", "Valleys", "", "valleys of the roof", False, lambda f: f.roof.valleys),
    Named(
        "pieces",
        "Pieces",
        "",
        "all that a builder sets",
        False,
        _finished(lambda f: f.solid),
        whole=True,
    ),
)
"""The figures by which houses are shown and ranked."""


def named_figures(names: Sequence[str]) -> tuple[Named, ...]:
    """The figures of these names; BriefError lists those there are."""
    known = {figure.name: figure for figure in NAMED}
    for name in names:
        if name not in known:
            raise BriefError(f"figure: there is none called {name!r}; try {', '.join(known)}")
    return tuple(known[name] for name in names)
