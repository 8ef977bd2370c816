"""Record: the cells of a saved house are those that were saved; what moved is named by its place."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from genhouse.inspection.subcells import Bool
from genhouse.inspection.verdict import Finding, Verdict, finding
from genhouse.model.digests import digests
from genhouse.model.record import Record, differing
from genhouse.model.voxels import Voxels

NAME = "record"


def record(voxels: Voxels, kept: Record | None) -> Verdict:
    """Digests tell which stages' cells are others than were saved; the parts of the design, which cells."""
    if kept is None:
        return Verdict(
            check=NAME, findings=(), evidence="no record: this house is not read from a folder"
        )
    stages, whole = digests(voxels)
    moved = [name for name in stages if stages[name] != kept.stages.get(name)]
    return Verdict(
        check=NAME,
        findings=(*_by_stage(voxels, kept, moved), *_by_room(voxels, kept)),
        evidence=f"digest {whole[:12]}, recorded {kept.whole[:12]}",
    )


def _by_stage(voxels: Voxels, kept: Record, moved: list[str]) -> Iterator[Finding]:
    if voxels.size != kept.told.size:
        return
    other, before, now = differing(kept.told, voxels)
    for name in moved:
        number = kept.told.about.stages.index(name) if name in kept.told.about.stages else -1
        cells = other & ((before == number) | (now == number))
        sentence = f"{name}: cells are not as recorded{_rooms(kept.told, cells)}"
        yield from finding(NAME, cells, sentence) or (
            Finding(
                check=NAME,
                where=(),
                count=0,
                sentence=f"{name}: the digest is not the recorded one, though the parts say the same",
            ),
        )


def _rooms(told: Voxels, cells: Bool) -> str:
    """The rooms that some cells lie in or beside."""
    near = cells.copy()
    for axis in range(3):
        line = np.moveaxis(near, axis, 0)
        line[1:] |= np.moveaxis(cells, axis, 0)[:-1]
        line[:-1] |= np.moveaxis(cells, axis, 0)[1:]
    ids = set(np.unique(told.room[near]).tolist())
    names = [f"{entry.id} ({entry.kind})" for entry in told.about.rooms if entry.id in ids]
    return f", in or beside room {', '.join(names)}" if names else ", in or beside no room"


def _by_room(voxels: Voxels, kept: Record) -> Iterator[Finding]:
    told = kept.told
    if voxels.size != told.size:
        sentence = f"the record is of {told.size} cells, the house of {voxels.size}"
        yield Finding(check=NAME, where=(), count=0, sentence=sentence)
    elif "rooms" not in kept.edited and not np.array_equal(told.room, voxels.room):
        other = told.room != voxels.room
        for entry in told.about.rooms:
            cells = other & ((told.room == entry.id) | (voxels.room == entry.id))
            sentence = f"room {entry.id} ({entry.kind}) has not the cells that are recorded"
            yield from finding(NAME, cells, sentence)
