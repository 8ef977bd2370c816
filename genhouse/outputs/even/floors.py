"""Mats and tiled floors: room by room, as the first of each lies."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

import numpy as np

from genhouse.core.box import Rect
from genhouse.core.spoken import listed
from genhouse.model.design import Design
from genhouse.outputs.even.work import Done
from genhouse.outputs.guide._mats import mats
from genhouse.outputs.guide._places import cell, place

Laid = tuple[int, Rect]
"""z of a mat or a floor, and the cells that it covers."""


def told_floors(design: Design, done: Done) -> Iterator[str]:
    """Sentences that tell of each mat, or of each floor of one kind of piece, once."""
    laid = mats(design)
    kinds = np.unique(done.kinds[done.kinds > 0]).tolist()
    if len(kinds) == 1:
        floors = listed(f"{place(rect)} in room {_room(design, z, rect)}" for z, rect in laid)
        yield f"Every cell takes {done.piece(kinds[0])}: {floors}."
        return
    for room, rows in groupby(laid, key=lambda one: _room(design, *one)):
        yield f"In room {room} lay {'; '.join(_mats(list(rows), done))}."


def _room(design: Design, z: int, rect: Rect) -> int:
    """The room that a mat lies in."""
    here = (r for r in design.rooms if r.indoor and r.has(rect.x0, rect.y0))
    return min(here, key=lambda room: abs(room.floor - z - 1)).id


def _mats(laid: list[Laid], done: Done) -> Iterator[str]:
    """Those of a room, the commonest way of lying first."""
    ways: dict[bytes, list[Rect]] = {}
    for _, rect in laid:
        x0, y0, x1, y1 = rect
        here = np.ascontiguousarray(done.kinds[x0:x1, y0:y1])
        ways.setdefault(bytes(here.shape) + here.tobytes(), []).append(rect)
    whole = sorted((w for w in ways.values() if w[0].area > 1), key=lambda w: (-len(w), w))
    for n, (first, *others) in enumerate(whole):
        more = f", and the same way from {listed(cell(r.x0, r.y0) for r in others)}"
        yield f"{'across them ' * (n > 0)}{place(first)}{more if others else ''}"
    for half in (w for w in ways.values() if w[0].area == 1):
        yield f"{'half a mat' if len(half) == 1 else 'half mats'} at {listed(map(place, half))}"
