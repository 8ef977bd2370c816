"""Stairs: a flight can be climbed over its whole width, lane by lane.

A tread is a piece of a stair that is higher on one side than on the other: toward there it rises.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from genhouse.core.axes import SIDES, STEP
from genhouse.inspection.fabric import Fabric, Scalar
from genhouse.inspection.subcells import SUB, Bool
from genhouse.inspection.verdict import Finding, Verdict, finding
from genhouse.model.voxels import Voxels

NAME = "stairs"
BODY = np.uint16(0x7777)
"""What a body fills of a cell into which its head reaches, seen along x: the lowest three quarters."""
STEPS = np.array([(0, 0, 0), *((*STEP[side], 0) for side in SIDES)])
"""By number of a side, counted from 1."""
STEPS.flags.writeable = False
UP = np.array((0, 0, 1))
UP.flags.writeable = False
Cells = npt.NDArray[np.intp]
"""x, y and z of some cells [N, 3]."""


def stairs(voxels: Voxels, fabric: Fabric) -> Verdict:
    """Three rules: [1] before and behind each tread there is the next, or a floor; [2] one stands on all
    of it but an edge; [3] a landing leads on."""
    flight = np.argwhere(fabric.stair)
    rise = _rises(voxels, fabric, flight)
    treads, side = flight[rise > 0], rise[rise > 0]
    return Verdict(
        check=NAME,
        findings=_marked(voxels, treads[_cut(voxels, fabric, treads, side)], "a step is missing")
        + _marked(voxels, treads[_low(voxels, fabric, treads)], "a tread is not free to step on")
        + _marked(
            voxels,
            _stuck(voxels, fabric, flight[rise == 0]),
            "a landing of the stair leads nowhere",
        ),
        evidence=f"{len(treads)} treads",
    )


def _marked(voxels: Voxels, cells: Cells, sentence: str) -> tuple[Finding, ...]:
    if not len(cells):
        return ()
    marked = np.zeros(voxels.size, dtype=bool)
    marked[tuple(cells.T)] = True
    return finding(NAME, marked, sentence)


def _at(values: npt.NDArray[Scalar], cells: Cells) -> npt.NDArray[Scalar]:
    """Values at cells; 0 outside."""
    inside = ((cells >= 0) & (cells < values.shape)).all(axis=1)
    found = np.zeros(len(cells), dtype=values.dtype)
    found[inside] = values[tuple(cells[inside].T)]
    return found


def _rises(voxels: Voxels, fabric: Fabric, cells: Cells) -> npt.NDArray[np.uint8]:
    """Toward which side each is a tread that rises, counted from 1; 0: it is none."""
    return fabric.outlines.rise[_at(voxels.form, cells)] * _at(fabric.stair, cells)


def _level(voxels: Voxels, fabric: Fabric, cells: Cells) -> Bool:
    """Whether one stands on top of them as on a floor."""
    high = fabric.outlines.top[_at(voxels.form, cells)] == SUB
    return np.asarray(_at(fabric.shut[2], cells) & high)


def _cut(
    voxels: Voxels, fabric: Fabric, treads: Cells, side: npt.NDArray[np.uint8]
) -> npt.NDArray[np.bool_]:
    """RULE 1.  Before a wall one turns aside, and there rule 3 asks."""
    ahead, behind = treads + STEPS[side], treads - STEPS[side]
    on = _at(voxels.form, ahead + UP) > 0
    on |= _level(voxels, fabric, ahead)
    back = _level(voxels, fabric, behind - UP) & ~_level(voxels, fabric, behind)
    return np.asarray(~(on & back))


def _low(voxels: Voxels, fabric: Fabric, treads: Cells) -> Bool:
    """RULE 2: over a tread a body has its height, a rail's breadth at most taken away."""
    one, two = (_at(voxels.form, treads + up * UP) for up in (1, 2))
    much, hidden = fabric.outlines.much[2], fabric.outlines.hidden[0]
    return np.asarray((much[one] > SUB) | (much[two] > SUB) & (hidden[two] & BODY > 0))


def _stuck(voxels: Voxels, fabric: Fabric, cells: Cells) -> Cells:
    """RULE 3: a level piece of a stair, bare above, has ways on to two sides."""
    landing = _level(voxels, fabric, cells) & ~_at(fabric.filled, cells + UP)
    cells = cells[landing]
    ways = np.zeros(len(cells), dtype=int)
    for n in range(1, len(STEPS)) if len(cells) else ():
        beside = cells + STEPS[n]
        here, over = (_rises(voxels, fabric, at) for at in (beside, beside + UP))
        flat = _level(voxels, fabric, beside) & ~_level(voxels, fabric, beside + UP)
        reached = here == (n + 1) % len(SIDES) + 1
        ways += flat & (here == 0) & (over == 0) | reached | (over == n)
    return np.asarray(cells[ways < 2])
