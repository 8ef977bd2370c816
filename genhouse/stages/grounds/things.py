"""What stands in yards: wood stacked under a roof, sheds, washing on a line, logs, a well with a windlass.

Each is drawn against a back: ``a`` runs along it, ``b`` away from it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cached_property

from msgspec import Struct

from genhouse.core.axes import CROSS, FLANKS, Axis, Side, cell_at, opposite
from genhouse.core.box import Rect
from genhouse.core.draw import Draw
from genhouse.stages.gardens.formal import well_head, well_roof
from genhouse.stages.gardens.lot import Cell, Pieces

Look = tuple[str, str]


class Lie(Struct, frozen=True, dict=True):
    """Ground as one sees it who stands with the face to its back."""

    rect: Rect
    back: Side

    @cached_property
    def axis(self) -> Axis:
        """The way that its back runs."""
        return next(axis for axis, sides in FLANKS.items() if self.back in sides)

    @property
    def across(self) -> Axis:
        return CROSS[self.axis]

    @property
    def front(self) -> Side:
        return opposite(self.back)

    @property
    def length(self) -> int:
        return self.rect.lie(self.axis).width

    @property
    def depth(self) -> int:
        return self.rect.lie(self.axis).depth

    @cached_property
    def _from(self) -> tuple[int, int, int]:
        """The cell in its near left corner, as its back runs, and the way away from that."""
        lie = self.rect.lie(self.axis)
        near = self.back == FLANKS[self.axis][0]
        return (lie.x0, lie.y0, 1) if near else (lie.x0, lie.y1 - 1, -1)

    def cell(self, a: int, b: int) -> Cell:
        """The cell so far along the back and so far from it."""
        along, across, step = self._from
        return cell_at(self.axis, along + a, across + step * b)

    def put(self, looks: Iterable[tuple[int, int, int, str, str]]) -> Pieces:
        """Pieces by their place: along, away, up, with role and form."""
        return {(*self.cell(a, b), z): (role, form) for a, b, z, role, form in looks}


def stack(lie: Lie, a: int, n: int) -> Pieces:
    """Split wood between two posts under a roof that falls to the front."""
    ends, wood = (a, a + n - 1), range(a + 1, a + n - 1)
    return lie.put(
        [
            *((e, 0, z, "shed-post", "post") for e in ends for z in (0, 1)),
            *((e, 0, z, "firewood", f"billets {lie.back}") for e in wood for z in (0, 1)),
            *((e, 0, 2, "shed-roof", f"course {lie.back}") for e in range(a, a + n)),
        ]
    )


def shelter(lie: Lie, a: int, n: int, kept: Sequence[Look]) -> Pieces:
    """An open shed two cells deep: a wall at its back and its ends, what it keeps in front of that."""
    ends, between = (a, a + n - 1), range(a + 1, a + n - 1)
    store = [kept[k % len(kept)] for k in range(n - 2)]
    return lie.put(
        [
            *((e, 0, z, "shed-post", "whole") for e in ends for z in (0, 1)),
            *((e, 0, z, "shed-wall", f"infill {lie.axis}") for e in between for z in (0, 1)),
            *((e, 1, z, "shed-post", "stout post") for e in ends for z in (0, 1)),
            *((e, 1, 0, *look) for e, look in zip(between, store, strict=True) if look[0]),
            *((e, 0, 2, "shed-roof", f"course {lie.back}") for e in range(a, a + n)),
            *((e, 1, 2, "shed-roof", "half course") for e in range(a, a + n)),
        ]
    )


def hut(lie: Lie, a: int) -> Pieces:
    """A shed of three by three cells under a small ridge, its door to the front."""
    corners = [(a, 0), (a + 2, 0), (a, 2), (a + 2, 2)]
    sides = [(a, 1, lie.across), (a + 2, 1, lie.across), (a + 1, 0, lie.axis)]
    row = range(a, a + 3)
    return lie.put(
        [
            *((i, b, z, "shed-post", "whole") for i, b in corners for z in (0, 1)),
            *((i, b, z, "shed-wall", f"infill {axis}") for i, b, axis in sides for z in (0, 1)),
            *((a + 1, 2, z, "shed-door", f"ledged {lie.front}") for z in (0, 1)),
            *((i, 0, 2, "shed-roof", f"course {lie.front}") for i in row),
            *((i, 1, 2, "shed-roof", "whole") for i in row),
            *((i, 2, 2, "shed-roof", f"course {lie.back}") for i in row),
            *((i, 1, 3, "shed-roof", f"coping {lie.axis}") for i in row),
        ]
    )


def washing(lie: Lie, a: int, b: int, n: int, draw: Draw) -> Pieces:
    """A line between two posts: sheets that hang down far, robes, and bare line where nothing hangs."""
    sheet, robe, line = (f"{piece} {lie.axis}" for piece in ("infill", "robe", "bar"))
    hung: list[tuple[Look, ...]] = [
        (("washing", sheet), ("washing", sheet)),
        (("washing-blue", sheet), ("washing-blue", sheet)),
        (("cloth", sheet), ("cloth", robe)),
        (("washing", robe),),
        (("pole", line),),
    ]
    cells = [draw.choice(hung, f"hung {k}", (4, 2, 1, 2, 4)) for k in range(n - 2)]
    ends = [(e, b, z, "pole", "post") for e in (a, a + n - 1) for z in (0, 1)]
    ends += [(e, b, 2, "pole", "stout post") for e in (a, a + n - 1)]
    return lie.put(
        [
            *ends,
            *(
                (a + 1 + k, b, 2 - z, *look)
                for k, some in enumerate(cells)
                for z, look in enumerate(some)
            ),
        ]
    )


def logs(lie: Lie, a: int, n: int) -> Pieces:
    """Round logs on one another, along the back."""
    rows = [(0, 0), (1, 0), (0, 1)]
    return lie.put(
        (a + k, b, z, "firewood-dark", f"bale {lie.axis}") for k in range(n) for b, z in rows
    )


def well(middle: Cell) -> Pieces:
    """A well in its kerb under a roof, the windlass between its posts."""
    x, y = middle
    place = Rect(x - 1, y - 1, x + 2, y + 2)
    posts: Pieces = {(x + i, y, 2): ("well-post", "stout post") for i in (-1, 1)}
    return well_head(middle) | well_roof(place) | posts | {(x, y, 2): ("windlass", "bar x")}


def ground_of(pieces: Pieces, high: int = 2) -> set[Cell]:
    """The cells in which one cannot walk for what stands there."""
    return {(x, y) for x, y, z in pieces if 0 <= z < high}


def jars(lie: Lie, a: int, n: int) -> Pieces:
    """Two rows of jars on a step of stone, the tall ones behind and under lids."""
    row = range(a, a + n)
    return lie.put(
        [
            *((e, b, 0, "terrace-stone", "whole") for e in row for b in (0, 1)),
            *((e, 0, 1, "store-jar", "bulged x" if e % 2 else "jar") for e in row),
            *((e, 0, 2, "store-jar", "loaf") for e in row),
            *((e, 1, 1, "store-jar", "barrel" if e % 3 else "kettle") for e in row),
        ]
    )
