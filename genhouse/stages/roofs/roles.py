"""Which piece of a roof each cell carries: eaves, verges, ridges, upright faces."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from genhouse.model.roof import RIDGED
from genhouse.stages._wings import Wing
from genhouse.stages.roofs.ends import Style, Styles, hipped_ends
from genhouse.stages.roofs.prisms import gablet
from genhouse.stages.roofs.slopes import NONE, Field
from genhouse.stages.site import Site
from genhouse.traditions.loader import RoofRule

Bool = npt.NDArray[np.bool_]
Marks = npt.NDArray[np.uint8]
ROLES = ("tile", "eave", "verge", "ridge", "deck", "barge", "gablet")


def ridges_of(site: Site, top: Field, fields: Field, styles: Styles) -> Marks:
    """The cells on a ridge, [X, Y]: 0, 1 (along x) or 2 (along y).

    One lies along the middle of a wing, as far as it is level and nothing else covers it.
    top: the envelope of the wings' fields, [n, 2 X, 2 Y].
    """
    ridges = np.zeros(site.plot, dtype=np.uint8)
    for wing, field in zip(site.roofed, fields, strict=True):
        if styles[wing].form not in RIDGED:
            continue
        line, over = _along_middle(field, wing), _along_middle(top, wing)
        crest = line.max()
        here = _both_halves(line == crest) & (over[::2] == crest)
        if wing.axis == "x":
            ridges[here, wing.middle] = 1
        else:
            reach = np.add.reduce(fields[:, 2 * wing.middle] >= crest, axis=0)
            here &= _both_halves(reach == 1) & (ridges[wing.middle] == 0)
            ridges[wing.middle, here] = 2
    return ridges


def _along_middle(field: Field, wing: Wing) -> Field:
    """Heights in half cells along the middle of a wing."""
    return field[:, 2 * wing.middle] if wing.axis == "x" else field[2 * wing.middle]


def _both_halves(line: Bool) -> Bool:
    """What holds for both halves of each cell of a line."""
    return line[::2] & line[1::2]


def roles_of(
    site: Site,
    top: Field,
    fields: Field,
    ridges: Marks,
    styles: Styles,
    rule: RoofRule,
) -> Marks:
    """Each column's role, as index into ROLES, from the wings' fields and their envelope: [X, Y]."""
    role = np.zeros(site.plot, dtype=np.uint8)
    cells = top[::2, ::2]
    role[edge_of(cells)] = ROLES.index("eave")
    for wing, field in zip(site.roofed, fields, strict=True):
        form = styles[wing].form
        if form in ("hip", "two-tier"):
            continue
        own = field[::2, ::2]
        on_top = (own == cells) & (own != NONE)
        if form == "flat":
            role[on_top & (cells == styles[wing].base)] = ROLES.index("deck")
        elif form == "hip-and-gable":
            role[on_top & _gablets(site, wing, styles[wing], own)] = ROLES.index("barge")
        else:
            role[on_top & _verges(site, wing, styles, rule)] = ROLES.index("verge")
    role[(ridges > 0) & (role != ROLES.index("verge"))] = ROLES.index("ridge")
    return role


def edge_of(cells: Field) -> Bool:
    """The outermost cells of what is covered: those with a side to the open."""
    there = cells != NONE
    inner = np.zeros_like(there)
    beside = (there[:-2, 1:-1], there[2:, 1:-1], there[1:-1, :-2], there[1:-1, 2:])
    inner[1:-1, 1:-1] = np.logical_and.reduce(beside)
    return np.asarray(there & ~inner)


def indoors(site: Site) -> Bool:
    """The cells of the roofed wings, wall lines included: all else a roof covers is overhang."""
    cells = np.zeros(site.plot, dtype=bool)
    for wing in site.roofed:
        cells[wing.rect.x0 : wing.rect.x1, wing.rect.y0 : wing.rect.y1] = True
    return cells


def _verges(site: Site, wing: Wing, styles: Styles, rule: RoofRule) -> Bool:
    """The doubled course at a gable, that beyond the wall and that on it; of a lean-to, all outside."""
    house = site.house
    if styles[wing].form == "lean-to":
        return np.asarray(~_within(site, site.house.grown(-1)))
    cells = np.zeros(site.plot, dtype=bool)
    west, east = hipped_ends(site, wing, styles)
    if wing.axis == "y":
        cells[:, house.y0 - rule.verge : house.y0 + 1] = wing.rect.y0 == house.y0
        return cells
    cells[house.x0 - rule.verge : house.x0 + 1] = not west
    cells[house.x1 - 1 : house.x1 + rule.verge] = not east
    return cells


def _gablets(site: Site, wing: Wing, style: Style, own: Field) -> Bool:
    """The line of a hip-and-gable's small gables, where it stands above the slope before it."""
    house, n = site.house, gablet(style) + 1
    cells = np.zeros(site.plot, dtype=bool)
    if wing.axis == "x":
        for x, out in ((house.x0 + n, -1), (house.x1 - 1 - n, 1)):
            cells[x] = own[x] > own[x + out] + 2
    elif wing.rect.y0 == house.y0:
        y = house.y0 + n
        cells[:, y] = own[:, y] > own[:, y - 1] + 2
    return cells


def _within(site: Site, rect: tuple[int, int, int, int]) -> Bool:
    x0, y0, x1, y1 = rect
    cells = np.zeros(site.plot, dtype=bool)
    cells[x0:x1, y0:y1] = True
    return cells
