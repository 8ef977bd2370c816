"""Planting: where plants stand, and the shapes of trees."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from genhouse.core.draw import Draw
from genhouse.stages.gardens.lot import Cell, Lot, Pieces, Spot, beside, mixed

Shape = dict[Spot, tuple[str, str]]
"""Role and form by place relative to the foot of the trunk."""


def poisson(cells: Iterable[Cell], apart: int, draw: Draw) -> tuple[Cell, ...]:
    """Poisson-disk sample of some cells: no two nearer than ``apart``, and no room for another.

    R. Bridson, "Fast Poisson disk sampling in arbitrary dimensions", SIGGRAPH (2007), on whole
    cells: the next sample comes from the ring between one and two distances about an earlier one;
    where no ring has room left, from any cell that has.  Distances are Euclid's, squared.
    """
    room = {c: n for n, c in enumerate(mixed(cells, draw, "order"))}
    active: list[Cell] = []
    chosen: list[Cell] = []
    while room:
        at = draw.below(len(active), f"active {len(chosen)}") if len(active) > 1 else 0
        near = [c for c in room if active and _square(c, active[at]) <= 4 * apart * apart]
        if active and not near:
            del active[at]
            continue
        new = min(near or room, key=room.__getitem__)
        chosen.append(new)
        active.append(new)
        room = {c: n for c, n in room.items() if _square(c, new) >= apart * apart}
    return tuple(sorted(chosen))


def _square(a: Cell, b: Cell) -> int:
    return (a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2


def _stem(height: int, role: str = "trunk") -> Shape:
    return {(0, 0, z): (role, "post") for z in range(height)}


def _disc(radius: int, z: int, role: str) -> Shape:
    """A round layer of leaves, softer at its edge."""
    reach = range(-radius, radius + 1)
    return {
        (x, y, z): (role, "ball" if x * x + y * y > radius * radius - radius else "whole")
        for x in reach
        for y in reach
        if x * x + y * y <= radius * radius + radius + 1
    }


def maple(height: int, leaves: str = "foliage") -> Shape:
    """A round crown, three cells each way."""
    top = height
    return {
        **_stem(height),
        **_disc(1, top, leaves),
        **{(x, y, top): (leaves, "whole") for x, y in ((0, 0), (1, 0), (-1, 0), (0, 1), (0, -1))},
        **{(x, y, top + 1): (leaves, "ball") for x, y in ((1, 0), (-1, 0), (0, 1), (0, -1))},
        (0, 0, top + 1): (leaves, "whole"),
        (0, 0, top + 2): (leaves, "ball"),
    }


def great_maple(height: int, leaves: str = "foliage") -> Shape:
    """One large tree: a crown five cells wide and four high."""
    top = height
    return {
        **_stem(height),
        **_disc(2, top, leaves),
        **_disc(2, top + 1, leaves),
        **_disc(1, top + 2, leaves),
        **{(x, y, top + 2): (leaves, "whole") for x, y in ((1, 0), (-1, 0), (0, 1), (0, -1))},
        (0, 0, top + 3): (leaves, "ball"),
    }


def pine(height: int, lean: tuple[Cell, Cell]) -> Shape:
    """Level pads of needles on a trunk; the lower ones reach out to the sides in ``lean``."""
    low, ((ax, ay), (bx, by)) = height - 3, lean
    below = ((ax, ay), (bx, by), (ax + bx, ay + by), (-bx, -by), (ax - bx, ay - by))
    above = ((1, 0), (-1, 0), (0, 1), (0, -1))
    return {
        **_stem(low),
        (0, 0, low): ("bough", "bough"),
        **{(x, y, low): ("needles", "pad" if x and y else "half course") for x, y in below},
        (0, 0, low + 1): ("bough", "post"),
        (0, 0, low + 2): ("bough", "bough"),
        **{(x, y, low + 2): ("needles", "half course") for x, y in above},
        (0, 0, low + 3): ("needles", "dome"),
    }


def blossom(height: int) -> Shape:
    """A small flowering tree."""
    return {
        **_stem(height),
        (0, 0, height): ("blossom", "whole"),
        **{(x, y, height): ("blossom", "ball") for x, y in ((1, 0), (-1, 0), (0, 1), (0, -1))},
        (0, 0, height + 1): ("blossom", "ball"),
    }


def bamboo(height: int) -> Shape:
    """One slender culm, leafy above."""
    bare = max(1, height // 2)
    return {
        **_stem(bare, "culm"),
        **{(0, 0, z): ("bamboo", "bough") for z in range(bare, height)},
        (0, 0, height): ("bamboo", "tuft"),
    }


GALLERY = 5
"""The layer in which the edge beam of a gallery lies."""
HEAD = 3
"""Leaves from this layer up hang clear of a person on a kerb, on a step, or on the way up to it; lower
ones, of flat ground."""


def fits(lot: Lot, shape: Shape, foot: Cell, pieces: Pieces) -> bool:
    """Whether a plant stands free: inside the garden, clear of a gate's roof and of all else."""
    for i, j, z in shape:
        x, y = foot[0] + i, foot[1] + j
        if not lot.ground.has(x, y) or lot.low.has(x, y) or (x, y, z) in pieces:
            return False
        if z >= GALLERY and (x, y) in lot.rails:
            return False
        if z < HEAD and (i or j) and ((x, y, 0) in pieces or _by_step(lot, (x, y))):
            return False
    return True


def _by_step(lot: Lot, cell: Cell) -> bool:
    """Whether this is a shoe stone, or where one sets out onto it."""
    return cell in lot.steps or any(c in lot.steps for c in beside(cell))


def planted(shape: Shape, foot: Cell) -> Pieces:
    """A shape in its place."""
    x, y = foot
    return {(x + i, y + j, z): look for (i, j, z), look in shape.items()}


def first_fit(lot: Lot, shapes: Sequence[Shape], feet: Iterable[Cell], pieces: Pieces) -> Pieces:
    """The first shape that stands somewhere, at the first of the feet where it does."""
    feet = list(feet)
    for shape in shapes:
        for foot in feet:
            if fits(lot, shape, foot, pieces):
                return planted(shape, foot)
    return {}
