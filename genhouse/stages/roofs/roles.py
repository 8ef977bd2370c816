"""Which piece of a roof each cell carries: eaves, verges, ridges, upright faces."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import numpy.typing as npt

from genhouse.model.roof import RIDGED
from genhouse.stages._wings import Wing
from genhouse.stages.roofs.ends import Style, Styles, hipped_ends
from genhouse.stages.roofs.prisms import gablet
from genhouse.stages.roofs.slopes import NONE, Field
from genhouse.stages.site import Site

Bool = npt.NDArray[np.bool_]
Strip = tuple[slice | int, slice | int]
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


def roles_of(site: Site, top: Field, fields: Field, ridges: Marks, styles: Styles) -> Marks:
    """Each column's role, as index into ROLES, from the wings' fields and their envelope: [X, Y]."""
    role = np.zeros(site.plot, dtype=np.uint8)
    cells = top[::2, ::2]
    role[edge_of(cells)] = ROLES.index("eave")
    for wing, field in zip(site.roofed, fields, strict=True):
        style, own = styles[wing], field[::2, ::2]
        if style.form == "flat":
            role[(own == cells) & (own == style.base)] = ROLES.index("deck")
        elif style.form == "hip-and-gable":
            for line, before in _gablets(site, wing, style):
                upright = (own[line] == cells[line]) & (own[line] > own[before] + 2)
                role[line][upright] = ROLES.index("barge")
        else:
            for strip in _verges(site, wing, styles):
                on_top = (own[strip] == cells[strip]) & (own[strip] != NONE)
                role[strip][on_top] = ROLES.index("verge")
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


def _verges(site: Site, wing: Wing, styles: Styles) -> Iterator[Strip]:
    """Where the doubled course at a gable lies, that beyond the wall and that on it; of a lean-to, all
    outside."""
    h, form, every = site.house, styles[wing].form, slice(None)
    low, high = hipped_ends(site, wing, styles)
    lean, through = form == "lean-to", form == "gable" and wing.axis == "x"
    if lean or (through and not low):
        yield slice(h.x0 + 1), every
    if lean or (through and not high):
        yield slice(h.x1 - 1, None), every
    if lean or (form == "gable" and not through and wing.rect.y0 == h.y0):
        yield every, slice(h.y0 + 1)
    if lean:
        yield every, slice(h.y1 - 1, None)


def _gablets(site: Site, wing: Wing, style: Style) -> Iterator[tuple[Strip, Strip]]:
    """The lines of a hip-and-gable's small gables, where they stand above the slope before them, and
    those of that slope."""
    h, n, every = site.house, gablet(style) + 1, slice(None)
    if wing.axis == "x":
        for x, out in ((h.x0 + n, -1), (h.x1 - 1 - n, 1)):
            yield (x, every), (x + out, every)
    elif wing.rect.y0 == h.y0:
        yield (every, h.y0 + n), (every, h.y0 + n - 1)
