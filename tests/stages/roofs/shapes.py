"""Sites of every shape that a roof must cover, drawn at random."""

from __future__ import annotations

from collections.abc import Sequence
from random import Random

from msgspec.structs import replace

from genhouse.core.axes import CROSS, ENDS, SIDES, Axis, Side, Turn, opposite
from genhouse.core.box import Rect
from genhouse.stages._rows import fit
from genhouse.stages._wings import Wing
from genhouse.stages.site import Site, closes, lines_round
from tests.houses import TIMBER

AXES: tuple[Axis, ...] = ("x", "y")
SPANS = (4, 6, 6, 8, 10)
LENGTHS = (8, 9, 10, 12, 13, 14)
MARGIN = 4


def site_of(
    wings: Sequence[Wing], courts: Sequence[Rect] = (), margins: Sequence[int] = (MARGIN,) * 4
) -> Site:
    """A site moved to where some margin is left to the west, south, east and north."""
    rects = [*(wing.rect for wing in wings), *courts]
    west, south, east, north = margins
    x, y = min(r.x0 for r in rects) - west, min(r.y0 for r in rects) - south
    plot = max(r.x1 for r in rects) + east - x, max(r.y1 for r in rects) + north - y
    return Site(
        plot=plot,
        turn=Turn(*plot),
        gate_side="south",
        wings=tuple(replace(wing, rect=_moved(wing.rect, -x, -y)) for wing in wings),
        courts=tuple(_moved(court, -x, -y) for court in courts),
    )


def _moved(r: Rect, dx: int, dy: int) -> Rect:
    return Rect(r.x0 + dx, r.y0 + dy, r.x1 + dx, r.y1 + dy)


def turned(site: Site, quarters: int, mirror: bool) -> Site:
    """The same site, turned and mirrored as a whole."""
    turn = Turn(*site.plot, quarters, mirror)
    return replace(
        site,
        plot=turn.size,
        turn=Turn(*turn.size),
        wings=tuple(replace(w, rect=turn.rect(w.rect), axis=turn.axis(w.axis)) for w in site.wings),
        courts=tuple(turn.rect(court) for court in site.courts),
    )


class Shapes:
    """Arrangements, each drawn from a number."""

    def __init__(self, seed: int) -> None:
        self.dice = Random(seed)

    def one(self) -> Site:
        """Any of them, with whatever is added to it, turned anyhow; bays can be set out in it."""
        while True:
            make = self.dice.choice((self.ring, self.ring, self.pinwheel, self.short, self.twin))
            wings, courts = make()
            for add in (self.ear, self.shed, self.apart, self.lookout):
                if self.dice.random() < 0.4:
                    wings = add(wings)
            wings = self.decks(wings)
            edges = [self.dice.choice((MARGIN, MARGIN, MARGIN, 0)) for _ in range(4)]
            site = turned(
                site_of(wings, courts, edges), self.dice.randrange(4), self.dice.random() < 0.5
            )
            if _sound(site) and fit(site, TIMBER.bays):
                return site

    def storeys(self) -> int:
        return self.dice.choice((1, 1, 2, 2, 2, 3))

    def span(self) -> int:
        return self.dice.choice(SPANS)

    def length(self) -> int:
        return self.dice.choice(LENGTHS)

    def ring(self) -> tuple[list[Wing], list[Rect]]:
        """Round a court, perhaps open on a side, perhaps with ends that run on past a corner."""
        front, rear, left, right = (self.span() for _ in range(4))
        wide, deep = self.length(), self.length()
        x0, x1 = left + 1, left + wide
        y0, y1 = front + 1, front + deep
        on = [self.dice.choice((0, 0, 0, 4, 5, 8)) for _ in range(4)]
        missing = self.dice.choice((None, None, "front", "left", "right"))
        west, east = (0 if missing != "left" else left), (right if missing != "right" else 0)
        wings = [
            self.wing("x", Rect(west - on[0], y1, x1 + 1 + east + on[1], y1 + rear + 1)),
            self.wing("x", Rect(west - on[2], 0, x1 + 1 + east + on[3], front + 1)),
            self.wing("y", Rect(0, y0, left + 1, y1)),
            self.wing("y", Rect(x1, y0, x1 + right + 1, y1)),
        ]
        names = ("rear", "front", "left", "right")
        kept = [w for name, w in zip(names, wings, strict=True) if name != missing]
        return self.levels(kept), [Rect(x0, y0, x1, y1)]

    def pinwheel(self) -> tuple[list[Wing], list[Rect]]:
        """Each of four wings dies into the next."""
        a, b, c, d = (self.span() for _ in range(4))
        wide, deep = self.length(), self.length()
        wings = [
            self.wing("x", Rect(0, -a - 1, wide + b + 1, 0)),
            self.wing("y", Rect(wide, 0, wide + b + 1, deep + c + 1)),
            self.wing("x", Rect(-d - 1, deep, wide, deep + c + 1)),
            self.wing("y", Rect(-d - 1, -a - 1, 0, deep)),
        ]
        return self.levels(wings), [Rect(0, 0, wide, deep)]

    def short(self) -> tuple[list[Wing], list[Rect]]:
        """Two arms, one shorter than the court is deep."""
        rear, left, right = (self.span() for _ in range(3))
        wide, deep = self.length(), self.length() + 5
        less = self.dice.choice((4, 5))
        wings = [
            self.wing("x", Rect(-left - 1, deep, wide + right + 1, deep + rear + 1)),
            self.wing("y", Rect(-left - 1, 0, 0, deep)),
            self.wing("y", Rect(wide, less, wide + right + 1, deep)),
        ]
        return self.levels(wings), [Rect(0, 0, wide, deep)]

    def twin(self) -> tuple[list[Wing], list[Rect]]:
        """Two ranges that face each other, walls between."""
        front, rear = self.span(), self.span()
        wide, deep = self.length() + 8, self.length()
        wings = [
            self.wing("x", Rect(0, -front - 1, wide, 0)),
            self.wing("x", Rect(0, deep, wide, deep + rear + 1)),
        ]
        return self.levels(wings), [Rect(1, 0, wide - 1, deep)]

    def wing(self, axis: Axis, rect: Rect) -> Wing:
        return Wing(name="range", axis=axis, rect=rect)

    def levels(self, wings: list[Wing]) -> list[Wing]:
        """All as high as each other, or each as it comes."""
        mixed, most = self.dice.random() < 0.6, self.storeys()
        return [
            replace(w, name=f"range {n}", storeys=self.storeys() if mixed else most)
            for n, w in enumerate(wings)
        ]

    def decks(self, wings: list[Wing]) -> list[Wing]:
        """Now and then one walks on a wing from a higher one beside it."""
        return [
            replace(wing, terrace=True)
            if self.dice.random() < 0.2
            and any(w.over(wing) and w.rect.adjoins(wing.rect) for w in wings)
            else wing
            for wing in wings
        ]

    def ear(self, wings: list[Wing]) -> list[Wing]:
        """A narrower wing in line with one, at an end of it; now and then as deep, or higher."""
        wing = self.dice.choice(wings)
        r, high = wing.lie, self.dice.random() < 0.5
        span = self.dice.choice([s for s in (4, 6, 8) if s < wing.span] or [wing.span])
        off = self.dice.randrange(0, wing.span - span + 1, 2)
        length = self.dice.choice((4, 5, 8))
        x0, x1 = (r.x1, r.x1 + length) if high else (r.x0 - length, r.x0)
        rect = Rect(x0, r.y0 + off, x1, r.y0 + off + span + 1).lie(wing.axis)
        storeys = self.dice.choice((max(1, wing.storeys - 1), wing.storeys))
        return [*wings, Wing(name="ear", axis=wing.axis, rect=rect, storeys=storeys)]

    def shed(self, wings: list[Wing]) -> list[Wing]:
        """A lower wing along a flank of one, or one as high."""
        wing = self.dice.choice(wings)
        r, high = wing.lie, self.dice.random() < 0.5
        depth = self.dice.choice((4, 6))
        y0, y1 = (r.y1, r.y1 + depth) if high else (r.y0 - depth, r.y0)
        rect = Rect(r.x0, y0, r.x1, y1).lie(wing.axis)
        storeys = max(1, wing.storeys - self.dice.choice((0, 1, 1, 1)))
        return [*wings, Wing(name="shed", axis=wing.axis, rect=rect, storeys=storeys)]

    def apart(self, wings: list[Wing]) -> list[Wing]:
        """A building that stands alone."""
        far = max(w.rect.x1 for w in wings) + self.dice.choice((5, 8))
        low = min(w.rect.y0 for w in wings)
        axis: Axis = self.dice.choice(AXES)
        rect = Rect(0, 0, self.length() + 1, self.span() + 1).lie(axis)
        return [
            *wings,
            Wing(name="store", axis=axis, rect=_moved(rect, far, low), storeys=self.storeys()),
        ]

    def lookout(self, wings: list[Wing]) -> list[Wing]:
        """The end of a wing, past all that it stands beside, raised by a storey."""
        wing = self.dice.choice(wings)
        r, high, long = wing.lie, self.dice.random() < 0.5, self.dice.choice((5, 6, 7, 9))
        if r.width < long + 6:
            return wings
        top = Rect(r.x1 - long, r.y0, r.x1, r.y1) if high else Rect(r.x0, r.y0, r.x0 + long, r.y1)
        rest = Rect(r.x0, r.y0, top.x0, r.y1) if high else Rect(top.x1, r.y0, r.x1, r.y1)
        others = [w for w in wings if w is not wing]
        tower = Wing(
            name="lookout",
            axis=self.dice.choice((wing.axis, wing.axis, CROSS[wing.axis]))
            if top.width % 2
            else wing.axis,
            rect=top.lie(wing.axis),
            storeys=min(3, wing.storeys + 1),
        )
        return [tower, replace(wing, rect=rest.lie(wing.axis)), *others]


def _sound(site: Site) -> bool:
    """Whether no wing lies on another or on a court, and what meets meets as the laws of a site have it."""
    rects = [wing.rect for wing in site.wings]
    if any(a.meets(b) for n, a in enumerate(rects) for b in (*rects[:n], *site.courts)):
        return False
    if any(site.frame(wing).depth % 2 == 0 for wing in site.wings):
        return False
    return all(_met(site, wing, side) for wing in site.wings for side in SIDES)


def _met(site: Site, wing: Wing, side: Side) -> bool:
    """Whether a side of a wing is free, or closed by one wing, or by its end hosts narrower ones."""
    row = lines_round(wing.rect)[side]
    beside = [other for other in site.wings if other.rect.meets(row)]
    if side in ENDS[wing.axis] and len(beside) > 1:
        return False
    return all(closes(other, wing, side) or closes(wing, other, opposite(side)) for other in beside)
