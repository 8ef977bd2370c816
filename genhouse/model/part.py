"""The narrow waist: whatever is built is a part; whatever draws, counts or checks reads parts or cells."""

from __future__ import annotations

from collections.abc import Iterable

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


class Part(Struct, frozen=True, gc=False):
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


def all_turned(parts: Iterable[Part], turn: Turn) -> tuple[Part, ...]:
    """The parts of a house after it is turned; the forms are few, and each is turned once."""
    names = {name: turned(name, turn) for name in NUMBER}
    return tuple(Part(p.stage, p.role, names[p.form], turn.box(p.box)) for p in parts)
