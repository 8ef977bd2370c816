"""The figures of a whole house by name: by these houses are shown and ranked."""

from __future__ import annotations

from collections.abc import Sequence
from operator import attrgetter

from msgspec import Struct

from genhouse.core.errors import BriefError
from genhouse.outputs.figures._tables import ShellFigures


class Named(Struct, frozen=True):
    """A figure of the whole house by its name.

    unit: empty for a bare number.  more: whether more of it is taken to be better.  told: where it
    stands among the figures.
    """

    name: str
    title: str
    unit: str
    meaning: str
    more: bool
    told: str

    @property
    def whole(self) -> bool:
        """Whether it is a figure of the finished house, which a shell has not."""
        return not hasattr(ShellFigures, self.told.split(".")[0])

    def read(self, figures: ShellFigures) -> float:
        """Its value.  Raises TypeError for a shell, where it is one of the finished house."""
        if self.whole and type(figures) is ShellFigures:
            raise TypeError("a shell has no such figure")
        return attrgetter(self.told)(figures)  # type: ignore[no-any-return]

    def text(self, value: float) -> str:
        """The value as one says it, without its unit."""
        return f"{value:,.0f}".replace(",", " ") if float(value).is_integer() else f"{value:.2f}"


# fmt: off
NAMED = (
    Named("floor", "Clear floor", "cells", "floor indoors, without walls", True, "floor"),
    Named("privacy", "Privacy order", "", "1 where quiet rooms lie deepest", True, "privacy"),
    Named("depth", "Depth", "rooms", "mean, from outside to a room", True, "depth"),
    Named("integration", "Integration", "", "mean; over 1, rooms lie near", True, "integration"),
    Named("difference", "Difference factor", "", "1 where all rooms lie alike",
          False, "difference"),
    Named("walk", "Walk", "cells", "mean, from the gate to a room", False, "walk"),
    Named("court-light", "Sky over the court", "", "part of the light on open ground",
          True, "court_light"),
    Named("court-width", "Court, width to height", "", "short side to height of wall plate",
          True, "court_width"),
    Named("openings", "Openings to floor", "", "windows and screens, to clear floor",
          True, "openings_to_floor"),
    Named("strung", "Strung rooms", "rooms", "only through a private room", False, "lived.strung"),
    Named("hall", "Stair hall to reception", "", "floor to floor; best under 1",
          False, "lived.hall"),
    Named("over", "Rooms out of measure", "rooms", "too many or too large", False, "lived.over"),
    Named("dim", "Dim rooms", "rooms", "glazing under a tenth of the floor", False, "lived.dim"),
    Named("seats", "Seats to sleepers", "", "at table, for each who sleeps here",
          True, "seated"),
    Named("hidden", "Hidden windows", "", "windows with a tall fitting before",
          False, "fitted.hidden"),
    Named("fires-above", "Fires above", "", "fires and firewood above the lowest storey",
          False, "fitted.fires_above"),
    Named("alike", "Workrooms alike", "rooms", "that hold just what another holds",
          False, "fitted.alike"),
    Named("task-light", "Light to work by", "rooms", "whose lamps suit what is done there",
          True, "fitted.task_lit"),
    Named("seats-out", "Seats by a veranda", "", "boards and benches out of doors",
          True, "fitted.seats_out"),
    Named("yards", "Yards", "cells", "open ground that is put to use", True, "yards.cells"),
    Named("verandas", "Outer verandas", "cells", "walks that look on a yard", True,
          "yards.verandas"),
    Named("matched", "Matched bays", "", "outside, like their pair across the middle",
          True, "fronts.symmetry"),
    Named("lonely", "Lonely windows", "windows", "that no other of their front answers",
          False, "fronts.lonely"),
    Named("ridges", "Ridges", "", "straight ridges of the roof", True, "roof.ridges"),
    Named("calm", "Unrest of the roof", "", "short ridges, unlike heights, walls in it",
          False, "roof.unrest"),
    Named("valleys", "Valleys", "", "valleys of the roof", False, "roof.valleys"),
    Named("pieces", "Pieces", "", "all that a builder sets", False, "solid"),
)
# fmt: on
"""The figures by which houses are shown and ranked."""


def named_figures(names: Sequence[str]) -> tuple[Named, ...]:
    """The figures of these names; BriefError lists those there are."""
    known = {figure.name: figure for figure in NAMED}
    for name in names:
        if name not in known:
            raise BriefError(f"figure: there is none called {name!r}; try {', '.join(known)}")
    return tuple(known[name] for name in names)
