"""Which piece of a roof each cell carries: eaves, verges, ridges, upright faces."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import numpy.typing as npt

from genhouse.core.axes import Axis
from genhouse.model.roof import RIDGED
from genhouse.stages._wings import Wing
from genhouse.stages.roofs.ends import Joints, Style, Styles, hipped_ends, walled
from genhouse.stages.roofs.prisms import gablet
from genhouse.stages.roofs.slopes import NONE, Field, lain
from genhouse.stages.site import Site

Bool = npt.NDArray[np.bool_]
Marks = npt.NDArray[np.uint8]
AXES: tuple[Axis, ...] = ("x", "y")
ROLES = ("slope", "eave", "verge", "ridge", "deck", "barge", "gablet")


def ridges_of(joints: Joints, top: Field, fields: Field, styles: Styles) -> Marks:
    """The cells on a ridge, [X, Y]: 0, 1 (along x) or 2 (along y).

    One lies along the middle of a wing, as far as it is level and no other covers it; where one ridge
    dies into another, the other goes on.  top: the envelope of the wings' fields, [n, 2 X, 2 Y].
    """
    ridges = np.zeros(joints.site.plot, dtype=np.uint8)
    for wing, field in zip(joints.site.roofed, fields, strict=True):
        if styles[wing].form not in RIDGED:
            continue
        middle = joints.middle(wing)
        line, over = (lain(f, wing.axis)[:, 2 * middle] for f in (field, top))
        crest = line.max()
        others = [
            lain(f, wing.axis)[:, 2 * middle] >= crest
            for other, f in zip(joints.site.roofed, fields, strict=True)
            if other != wing and wing not in joints.hosts[other]
        ]
        free = ~np.logical_or.reduce(others) if others else line == line
        here = _both_halves((line == crest) & free) & (over[::2] == crest)
        lain(ridges, wing.axis)[here, middle] = 1 + AXES.index(wing.axis)
    return ridges


def _both_halves(line: Bool) -> Bool:
    """What holds for both halves of each cell of a line."""
    return line[::2] & line[1::2]


def roles_of(joints: Joints, top: Field, fields: Field, ridges: Marks, styles: Styles) -> Marks:
    """Each column's role, as index into ROLES, from the wings' fields and their envelope: [X, Y]."""
    role = np.zeros(joints.site.plot, dtype=np.uint8)
    cells = top[::2, ::2]
    role[edge_of(cells)] = ROLES.index("eave")
    for wing, field in zip(joints.site.roofed, fields, strict=True):
        style, own = styles[wing], field[::2, ::2]
        if style.form == "flat":
            role[(own == cells) & (own == style.base)] = ROLES.index("deck")
        elif style.form == "hip-and-gable":
            mine, seen, roles = (lain(array, wing.axis) for array in (own, cells, role))
            for line, before in _gablets(joints, wing, style):
                upright = (mine[line] == seen[line]) & (mine[line] > mine[before] + 2)
                roles[line][upright] = ROLES.index("barge")
        else:
            on_top = (own == cells) & (own != NONE)
            role[on_top & _verges(joints, wing, styles)] = ROLES.index("verge")
    role[(ridges > 0) & (role != ROLES.index("verge"))] = ROLES.index("ridge")
    return role


def edge_of(cells: Field) -> Bool:
    """The outermost cells of what is covered: those with a side to the open."""
    there = cells != NONE
    inner = np.zeros_like(there)
    beside = (there[:-2, 1:-1], there[2:, 1:-1], there[1:-1, :-2], there[1:-1, 2:])
    inner[1:-1, 1:-1] = np.logical_and.reduce(beside)
    return np.asarray(there & ~inner)


def outside(site: Site) -> Bool:
    """The outer walls, and all that lies beyond them: garden walls too, but no court."""
    wide, deep = site.plot
    built, within = np.zeros((2, wide + 2, deep + 2), dtype=bool)
    for rects, cells in (([w.rect for w in site.wings], built), (site.courts, within)):
        for x0, y0, x1, y1 in rects:
            cells[x0 + 1 : x1 + 1, y0 + 1 : y1 + 1] = True
    beyond = ~(built | within)
    beside = beyond[:-2, 1:-1], beyond[2:, 1:-1], beyond[1:-1, :-2], beyond[1:-1, 2:]
    walls = built[1:-1, 1:-1] & np.logical_or.reduce(beside)
    return np.asarray(beyond[1:-1, 1:-1] | walls)


def _verges(joints: Joints, wing: Wing, styles: Styles) -> Bool:
    """Where the doubled course at a gable lies, that beyond the wall and that on it; of a lean-to, all
    outside but its eaves."""
    form, r = styles[wing].form, joints.lies[wing]
    verge = np.zeros(joints.site.plot, dtype=bool)
    along = lain(verge, wing.axis)
    if form == "lean-to":
        verge |= outside(joints.site)
        high = joints.high_side(wing)
        if joints.outward[wing][not high]:
            along[r.x0 : r.x1, slice(r.y0 + 1) if high else slice(r.y1 - 1, None)] = False
    if form == "gable":
        hips, ground = hipped_ends(joints, wing, styles), walled(joints, wing).lie(wing.axis)
        strips = slice(ground.x0 + 1), slice(ground.x1 - 1, None)
        for end, (strip, host) in enumerate(zip(strips, joints.hosts[wing], strict=True)):
            along[strip] |= not hips[end] and (host is None or wing.over(host))
    return verge


def _gablets(joints: Joints, wing: Wing, style: Style) -> Iterator[tuple[int, int]]:
    """The lines across a wing of its small gables, and those of the slope before them."""
    r, n = walled(joints, wing).lie(wing.axis), gablet(style) + 1
    lines = (r.x0 + n, r.x0 + n - 1), (r.x1 - 1 - n, r.x1 - n)
    for line, host in zip(lines, joints.hosts[wing], strict=True):
        if host is None or wing.over(host):
            yield line
