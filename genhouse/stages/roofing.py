"""Roofing: the planned roof laid in pieces; wall heads and gables below it, chimney and porch roofs."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from genhouse.core.axes import STEP, opposite
from genhouse.core.box import Box, Rect, runs
from genhouse.core.forms import FORMS, NUMBER
from genhouse.model.part import Part
from genhouse.stages._carving import carve
from genhouse.stages._openings import Entrance
from genhouse.stages.roof import ROLES, Roof, line_ends
from genhouse.stages.rooms import Rooms
from genhouse.stages.site import Site
from genhouse.traditions.loader import Tradition


def roof_parts(site: Site, roof: Roof, rooms: Rooms, tradition: Tradition) -> tuple[Part, ...]:
    """Shell, ridges, gables and wall heads up to the underside, chimney and porch roofs."""
    return (
        *_shell_parts(roof, rooms.hearth.cell),
        *_heads(site, roof, rooms, tradition),
        *_flue(roof, rooms, tradition),
        *(part for e in rooms.entrances for part in _porch(e, tradition)),
    )


def _shell_parts(roof: Roof, flue: tuple[int, int]) -> Iterator[Part]:
    forms = carve(roof.top, roof.under, roof.height)
    forms[flue] = 0
    roles = np.where(forms > 0, roof.role[..., None], 0)
    highest = roof.height - 1 - (forms[..., ::-1] > 0).argmax(axis=2)
    for axis, form in ((1, "saddle x"), (2, "saddle y")):
        xs, ys = np.nonzero((roof.ridges == axis) & (forms.max(axis=2) > 0))
        cells = (xs, ys, highest[xs, ys])
        slab = forms[cells] == NUMBER["lower slab"]
        forms[cells] = np.where(slab, NUMBER[form], forms[cells])
    inner = (roof.role == ROLES.index("ridge"))[..., None] & (
        np.arange(roof.height) < highest[..., None]
    )
    roles[inner] = 0
    code = roles.astype(np.int32) * 256 + forms
    for kind in sorted(set(code[forms > 0].tolist())):
        role, form = ROLES[kind >> 8], FORMS[kind & 255].name
        for box in runs([(x, y, z) for x, y, z in np.argwhere(code == kind).tolist()]):
            yield Part("roof", role, form, box)


def _heads(site: Site, roof: Roof, rooms: Rooms, tradition: Tradition) -> Iterator[Part]:
    """Walls of the upper storey, closed from the plate to the underside of the shell."""
    low = tradition.levels.plate + 1
    under = roof.under[::2, ::2]
    middles = {
        (
            w.axis,
            (w.rect.y0 + w.rect.y1 - 1) // 2 if w.axis == "x" else (w.rect.x0 + w.rect.x1 - 1) // 2,
        )
        for w in site.wings
    }
    for s in rooms.rising:
        role = "partition" if s.boundary == "partition" else "gable"
        for x, y in s.cells.cells():
            high = int(under[x, y]) // 2
            if high > low:
                king = role == "gable" and ("x", y) in middles and s.axis == "y"
                king |= role == "gable" and ("y", x) in middles and s.axis == "x"
                form = "full" if king else f"infill {s.axis}"
                yield Part(
                    "roof", "post" if king else role, form, Box(x, y, low, x + 1, y + 1, high)
                )
    for x, y in line_ends(rooms):
        high = int(under[x, y]) // 2
        if high > low:
            yield Part("roof", "post", "full", Box(x, y, low, x + 1, y + 1, high))


def _flue(roof: Roof, rooms: Rooms, tradition: Tradition) -> Iterator[Part]:
    x, y = rooms.hearth.cell
    start = tradition.levels.floor + 1
    yield Part("roof", "flue", "chimney", Box(x, y, start, x + 1, y + 1, roof.chimney))
    yield Part("roof", "flue", "chimney cap", Box.cell(x, y, roof.chimney))
    dx, dy = STEP[rooms.hearth.facing]
    hood = f"step {opposite(rooms.hearth.facing)} turned"
    yield Part("roof", "hood", hood, Box.cell(x + dx, y + dy, start + 1))


def _porch(entrance: Entrance, tradition: Tradition) -> Iterator[Part]:
    z = tradition.levels
    if entrance.room == 0:
        yield from _gate_roof(entrance, z.ground + 4)
        return
    dx, dy = STEP[entrance.side]
    way = entrance.way
    if dy == 0:
        x = way.x0 + dx
        near = Rect(x, way.y0 - 1, x + 1, way.y1 + 1)
        far = Rect(x + dx, near.y0, x + dx + 1, near.y1)
        feet = [(x + dx, near.y0), (x + dx, near.y1 - 1)]
    else:
        y = way.y0 + dy
        near = Rect(way.x0 - 1, y, way.x1 + 1, y + 1)
        far = Rect(near.x0, y + dy, near.x1, y + dy + 1)
        feet = [(near.x0, y + dy), (near.x1 - 1, y + dy)]
    yield Part(
        "roof",
        "porch-tile",
        f"step {opposite(entrance.side)}",
        near.up(z.lower_tie, z.lower_tie + 1),
    )
    yield Part("roof", "porch-tile", "lower slab", far.up(z.lower_tie, z.lower_tie + 1))
    for x, y in feet:
        yield Part("roof", "porch-post", "post", Box(x, y, z.ground, x + 1, y + 1, z.lower_tie))


def _gate_roof(entrance: Entrance, z: int) -> Iterator[Part]:
    """A small gable over a gate in the garden wall."""
    way = entrance.way
    line = Rect(way.x0 - 1, way.y0, way.x1 + 1, way.y1)
    yield Part("roof", "porch-tile", "full", line.up(z, z + 1))
    for y in (line.y0 - 1, line.y1):
        yield Part(
            "roof", "porch-tile", "lower slab", Rect(line.x0, y, line.x1, y + 1).up(z, z + 1)
        )
    yield Part("roof", "ridge", "saddle x", line.up(z + 1, z + 2))
