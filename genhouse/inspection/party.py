"""Party: on a side that is shared with a neighbour the house has a whole wall, and sheds no water over it.

The outermost cells of the plot on such a side are its edge.  What lies along it is looked at from within,
as if the side were the west.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from genhouse.core.axes import ENDS, Side
from genhouse.inspection.fabric import Scalar
from genhouse.inspection.subcells import WHOLE, Bool, Quarters, Subcells
from genhouse.inspection.verdict import Finding, Verdict, finding
from genhouse.inspection.weather import tops, void
from genhouse.model.voxels import Voxels

NAME = "party"
Heights = npt.NDArray[np.intp]


class _Edge(NamedTuple):
    """face: what is taken right along the edge, quarters [4N, Z].  opens: its cells with a piece that opens
    or lets light through.  inner: those beside a room, or the void of a roof over one.  Both [N, Z].

    roofed: whether the last piece of a column is of the roof, [N].  heights: of the edge and of the cells
    behind it, from one before the first to one past the last, [2, N + 2]; a neighbour's are high, and the
    open ground is low.
    """

    face: Quarters
    opens: Bool
    inner: Bool
    roofed: Bool
    heights: Heights


def party(voxels: Voxels, sub: Subcells) -> Verdict:
    """Three rules: [1] a wall is whole; [2] nothing opens; [3] no water leaves over it."""
    found: list[Finding] = []
    for side in voxels.about.party:
        edge = _edge(voxels, sub, side)
        for faults, sentence in (
            (_hollow(edge), "a wall to a neighbour is not whole"),
            (edge.opens, "a wall to a neighbour opens, or lets light through"),
            (_spilling(edge), "water leaves over the edge to a neighbour"),
        ):
            whole = np.zeros(voxels.size, dtype=bool)
            _inward(whole, side)[0] = faults
            found += finding(NAME, whole, sentence)
    sides = ", ".join(voxels.about.party) or "none"
    return Verdict(check=NAME, findings=tuple(found), evidence=f"sides with a neighbour: {sides}")


def _edge(voxels: Voxels, sub: Subcells, side: Side) -> _Edge:
    inside = sub.indoor | void(voxels, sub) & (voxels.form == 0)
    opens = voxels.flag("clear") | voxels.flag("passable")
    filled = _inward(voxels.form, side)[0] > 0
    last = filled.shape[1] - 1 - filled[:, ::-1].argmax(axis=1)
    roof = _inward(voxels.set_by("roof"), side)[0]
    heights = _inward(tops(sub).sum(axis=(1, 3)), side)[:2]
    beyond = [np.iinfo(np.intp).max * (end in voxels.about.party) for end in _ends(side)]
    return _Edge(
        face=_inward(sub.solid, side)[0],
        opens=opens[_inward(voxels.material, side)[0]],
        inner=np.logical_or(*_inward(inside, side)[:2]),
        roofed=np.take_along_axis(roof, last[:, None], axis=1)[:, 0],
        heights=np.pad(heights, ((0, 0), (1, 1)), constant_values=((0, 0), tuple(beyond))),
    )


def _inward(cells: npt.NDArray[Scalar], side: Side) -> npt.NDArray[Scalar]:
    """A view of an array [X, Y, ...], inward from a side and then along it."""
    turned = cells if side in ENDS["x"] else cells.swapaxes(0, 1)
    return turned if side in ("west", "south") else turned[::-1]


def _ends(side: Side) -> tuple[Side, Side]:
    """The sides at both ends of an edge."""
    return ENDS["y" if side in ENDS["x"] else "x"]


def _hollow(edge: _Edge) -> Bool:
    """RULE 1: beside a room, and the void of a roof over one, the wall's face lies in the edge."""
    n, z = edge.inner.shape
    return np.asarray(edge.inner & (edge.face.reshape(n, -1, z) != WHOLE).any(axis=1))


def _spilling(edge: _Edge) -> Bool:
    """RULE 3: each column of the edge with a roof on it falls inward or along it, or is the end of a gutter
    between what is higher, no lower than the cell behind it."""
    (low, own, high), behind = (
        (row[:-2], row[1:-1], row[2:]) for row in (edge.heights[0], edge.heights[1])
    )
    falls = own > np.minimum.reduce([low, high, *behind])
    gutter = (behind[1] <= own) & (low > own) & (high > own)
    faults = np.zeros(edge.inner.shape, dtype=bool)
    faults[edge.roofed & ~falls & ~gutter, -1] = True
    return faults
