"""The narrow waist: whatever is built is a part; whatever draws, counts or checks reads parts or cells."""

from __future__ import annotations

from msgspec import Struct

from genhouse.core.axes import Turn
from genhouse.core.box import Box
from genhouse.core.forms import NUMBER, turned

STAGES = (
    "site",
    "frame",
    "walls",
    "floors",
    "mats",
    "stair",
    "screens",
    "roof",
    "court",
    "fittings",
    "lamps",
)
"""The stages that set cells, in building order."""


ROOF_COVER = ("tile", "eave", "verge", "ridge", "deck")
"""Roles of what lies on a roof and meets the rain."""

ROOF_TIMBERS = ("ridge-beam", "purlin", "collar", "roof-post", "brace")
"""Roles of the roof's timbers: the room below goes on round them, up to what covers it."""


class Part(Struct, frozen=True):
    """A box of equal pieces.

    role: what its cells are for (``post``, ``eave``, ``water``), never a material.
    form: name of what each piece fills of its cell.  stage: the building stage that sets it.
    """

    stage: str
    role: str
    form: str
    box: Box

    def __post_init__(self) -> None:
        if self.form not in NUMBER:
            raise ValueError(f"no form is called {self.form!r}")

    def turned(self, turn: Turn) -> Part:
        return Part(self.stage, self.role, turned(self.form, turn), turn.box(self.box))
