"""How a tradition's houses look from outside: pieces, claddings, looks, juts and schemes by name."""

from __future__ import annotations

from collections.abc import Container, Iterator
from functools import lru_cache
from typing import Annotated

from msgspec import Meta, field

from genhouse.core.axes import ENDS, FLANKS, Axis, Side, opposite
from genhouse.core.forms import FORMS, NUMBER, SUB
from genhouse.core.sentences import closest
from genhouse.model.part import STAGES
from genhouse.traditions.reading import Of, Pairs, Register, Table

PieceName = Annotated[str, Of("front.piece")]
CladdingName = Annotated[str, Of("front.cladding")]
LookName = Annotated[str, Of("front.look")]
JutName = Annotated[str, Of("front.jut")]
RoleName = Annotated[str, Of("role")]
Piece = tuple[RoleName, str]
"""A role, and a form; the last word of a form may be a way of lying in the wall, see ``laid``."""
Three = tuple[PieceName, PieceName, PieceName]


class Look(Table, frozen=True, kw_only=True):
    """What a bay wears: pieces from the posts inward, "" for the cladding.

    band: over the beam, "" for the front's own.  narrow: whether its opening is no wider than the middle of
    what a bay has.  firm: whether it is worn whatever others on its front wear.
    jut, rail: what may stand before the opening on the ground and above.
    """

    head: Three = ("", "", "")
    foot: Three = ("", "", "")
    band: PieceName = ""
    narrow: bool = False
    firm: bool = False
    jut: JutName = ""
    rail: JutName = ""

    def rows(self, high: int) -> tuple[Three, ...]:
        """Its layers from the floor up: one shows the head alone, and more of them repeat it."""
        return (self.foot, *(self.head,) * (high - 1)) if high > 1 else (self.head,)


Use = tuple[str, RoleName, str]
"""Building stage, role and form of a piece; of a member {} is the way that it runs, faces or lies."""


class Jut(Table, frozen=True, kw_only=True):
    """Pieces before an opening, from the layer that one walks on up, one each.

    roofed: the last lies against the beam, and the one before it goes on up to there.
    """

    pieces: tuple[Use, ...]
    roofed: bool = False


class Dress(Table, frozen=True, kw_only=True):
    """What fronts of a rank wear: claddings of the storeys, the last goes on; the window that tells
    nothing else, and that any room may wear for the sake of its pair; the one that does so above, "" for
    the same; and the band, "" for the cladding."""

    storeys: Annotated[tuple[CladdingName, ...], Meta(min_length=1)]
    window: LookName
    band: PieceName
    above: LookName = ""

    def plain(self, level: int) -> LookName:
        """The window of a storey that tells nothing else."""
        return (level > 1 and self.above) or self.window


class Scheme(Table, frozen=True, kw_only=True):
    """What fronts wear: to the lane, aside, away from it, into a court.  weight: how often it is drawn."""

    lane: Dress
    side: Dress
    back: Dress
    court: Dress
    weight: int = 1


class Looks(Register, frozen=True, kw_only=True):
    """claddings: pieces of a wall's foot and of its head.  doors: looks of bays with a door.

    blind: whether no room has a window to outdoors that has other light.  sparing: whether rooms open to a
    court at one bay, in their middle, and have windows at the others.
    broad: whether windows under the roof run from post to post.
    """

    pieces: Pairs[str, Piece] = field(name="piece")
    claddings: Pairs[str, tuple[PieceName, PieceName]] = field(name="cladding")
    looks: Pairs[str, Look] = field(name="look")
    doors: Annotated[tuple[LookName, ...], Meta(min_length=1)]
    juts: Pairs[str, Jut] = field(name="jut", default=())
    blind: bool = False
    sparing: bool = False
    broad: bool = False
    schemes: Annotated[Pairs[str, Scheme], Meta(min_length=1)] = field(name="scheme")

    def look(self, name: str) -> Look:
        found: Look = self.row("looks", name)
        return found

    def jut(self, name: str) -> Jut:
        found: Jut = self.row("juts", name)
        return found


def amiss(front: Looks, clear: Container[str]) -> Iterator[str]:
    """What is amiss in how fronts are told.  clear: roles that let light through."""
    forms = [(f"piece.{name}", form) for name, (_, form) in front.pieces]
    forms += [(f"jut.{name}", form) for name, jut in front.juts for *_, form in jut.pieces]
    unknown = [(where, form) for where, form in forms if laid(form, "x", "south") not in NUMBER]
    for where, form in unknown:
        yield f"{where}: there is no form {form!r}; such as 'infill along' or 'boarding out'"
    if unknown:
        return
    pieces = dict(front.pieces)
    for name, (role, form) in front.pieces:
        if not _shuts(form, role in clear):
            yield f"piece.{name}: {form!r} leaves the wall open; a pane may, by half"
    for name, jut in front.juts:
        for stage, _, _ in jut.pieces:
            if stage not in STAGES:
                yield f"jut.{name}: there is no building stage {stage!r}; {closest(stage, STAGES)}"
        if len(jut.pieces) not in ((3,) if jut.roofed else (1, 2)):
            yield f"jut.{name}: it has {len(jut.pieces)} pieces; give one or two, or three where roofed"
    ranks = ("lane", "side", "back", "court")
    dresses: list[Dress] = [getattr(scheme, r) for _, scheme in front.schemes for r in ranks]
    plain = [name for d in dresses for name in (d.window, d.above) if name]
    lit = [(f"look.{name}.head", front.look(name).head[2]) for name in plain]
    for where, piece in lit:
        if not piece or pieces[piece][0] not in clear:
            yield f"{where}: {piece!r} lets no light through; name a piece that does"


def _shuts(form: str, clear: bool) -> bool:
    """Whether a form hides a cell of its wall, or half of it where it is a pane or a lattice."""
    hidden = int(FORMS[NUMBER[laid(form, "x", "south")]].shape.any(axis=1).sum())
    return hidden == SUB * SUB or (clear and 2 * hidden >= SUB * SUB)


@lru_cache(maxsize=512)
def laid(form: str, axis: Axis, face: Side | None) -> str:
    """A form of the tables as it lies in a wall along an axis that is seen from a side.

    >>> laid("boarding out", "x", "south"), laid("infill along", "y", "east")
    ('boarding south', 'infill y')
    """
    piece, _, way = form.rpartition(" ")
    out = face or FLANKS[axis][0]
    ways = {"along": axis, "out": out, "back": opposite(out), "end": ENDS[axis][1]}
    return f"{piece} {ways[way]}" if way in ways else form
