"""How a tradition's houses look from outside: pieces, claddings, looks, juts and schemes by name."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated

from msgspec import field

from genhouse.core.axes import ENDS, FLANKS, Axis, Side, opposite
from genhouse.core.forms import NUMBER
from genhouse.traditions.reading import Of, Pairs, Table

PieceName = Annotated[str, Of("front.piece")]
CladdingName = Annotated[str, Of("front.cladding")]
LookName = Annotated[str, Of("front.look")]
JutName = Annotated[str, Of("front.jut")]
Piece = tuple[Annotated[str, Of("role")], str]
"""A role, and a form; the last word of a form may be a way of lying in the wall, see ``laid``."""
Three = tuple[PieceName, PieceName, PieceName]


class Look(Table, frozen=True, kw_only=True):
    """What a bay wears: pieces from the posts inward, "" for the cladding.

    band: over the beam, "" for the front's own.  jut, rail: what may stand before the opening on the
    ground and above.
    """

    head: Three = ("", "", "")
    foot: Three = ("", "", "")
    band: PieceName = ""
    jut: JutName = ""
    rail: JutName = ""

    def rows(self, high: int) -> tuple[Three, ...]:
        """Its layers from the floor up: one shows the head alone, and more of them repeat it."""
        return (self.foot, *(self.head,) * (high - 1)) if high > 1 else (self.head,)


Set = tuple[str, Annotated[str, Of("role")], str]
"""The building stage that sets a piece, its role and its form."""


class Jut(Table, frozen=True, kw_only=True):
    """Pieces before an opening, from the layer that one walks on up, one each.

    roofed: the last lies against the beam, and the one before it goes on up to there.
    """

    pieces: tuple[Set, ...]
    roofed: bool = False


class Dress(Table, frozen=True, kw_only=True):
    """What fronts of a rank wear: claddings of the storeys, the last goes on; the window that tells
    nothing else; and the band."""

    storeys: tuple[CladdingName, ...]
    window: LookName
    band: PieceName


class Scheme(Table, frozen=True, kw_only=True):
    """What fronts wear: to the lane, aside, away from it, into a court.  weight: how often it is drawn."""

    lane: Dress
    side: Dress
    back: Dress
    court: Dress
    weight: int = 1


class Looks(Table, frozen=True, kw_only=True):
    """claddings: pieces of a wall's foot and of its head."""

    pieces: Pairs[str, Piece] = field(name="piece")
    claddings: Pairs[str, tuple[PieceName, PieceName]] = field(name="cladding")
    looks: Pairs[str, Look] = field(name="look")
    juts: Pairs[str, Jut] = field(name="jut", default=())
    schemes: Pairs[str, Scheme] = field(name="scheme")

    def look(self, name: str) -> Look:
        return dict(self.looks)[name]

    def jut(self, name: str) -> Jut:
        return dict(self.juts)[name]

    def unformed(self) -> Iterator[str]:
        """The names of pieces and juts with a form that there is not."""
        made = [(f"piece.{name}", [form]) for name, (_, form) in self.pieces]
        made += [(f"jut.{name}", [p[2] for p in jut.pieces]) for name, jut in self.juts]
        for where, forms in made:
            for form in forms:
                if laid(form, "x", "south") not in NUMBER:
                    yield f"{where}: there is no form {form!r}; such as 'infill along' or 'boarding out'"


def laid(form: str, axis: Axis, face: Side | None) -> str:
    """A form of the tables as it lies in a wall along an axis that is seen from a side.

    >>> laid("boarding out", "x", "south"), laid("infill along", "y", "east")
    ('boarding south', 'infill y')
    """
    piece, _, way = form.rpartition(" ")
    out = face or FLANKS[axis][0]
    ways = {"along": axis, "out": out, "back": opposite(out), "end": ENDS[axis][1]}
    return f"{piece} {ways[way]}" if way in ways else form
