"""What is measured of a house, and the digests of its cells."""

from __future__ import annotations

import hashlib

import numpy as np

from genhouse.model.design import Design
from genhouse.model.voxels import Voxels
from genhouse.outputs._document_tables import CourtMetrics, Metrics, StageMetrics
from genhouse.outputs._setting_out import heights


def digests(voxels: Voxels) -> tuple[dict[str, str], str]:
    """SHA-256 of the cells of each stage by its name, and of all; as 64 hexadecimal digits."""
    by_stage = {
        name: _cells(voxels, voxels.stage == number, with_stage=False)
        for number, name in enumerate(voxels.about.stages)
        if number
    }
    return by_stage, _cells(voxels, voxels.form > 0, with_stage=True)


def _cells(voxels: Voxels, where: np.ndarray, *, with_stage: bool) -> str:
    """In order of x, y and z: positions, materials, forms (and stages) of the cells chosen."""
    hashed = hashlib.sha256(np.argwhere(where).astype("<u2").tobytes())
    hashed.update(voxels.material[where].tobytes())
    hashed.update(voxels.form[where].tobytes())
    if with_stage:
        hashed.update(voxels.stage[where].tobytes())
    return hashed.hexdigest()


def measure(design: Design, voxels: Voxels) -> Metrics:
    """Counts from the cells, lengths and areas from the rooms."""
    floor = sum(r.area for r in design.rooms if r.indoor)
    openings = sum(
        s.way.area
        for s in design.segments
        if s.way and s.boundary in ("outer", "court") and s.opening in ("window", "screens")
    )
    areas: dict[str, int] = {}
    for room in design.rooms:
        areas[room.kind] = areas.get(room.kind, 0) + room.area
    return Metrics(
        solid=int(np.count_nonzero(voxels.form)),
        floor=floor,
        openings=openings,
        openings_to_floor=_ratio(openings, floor),
        areas=areas,
        courts=_courts(design),
        stages=_stages(voxels),
        materials=_named(voxels.material, [m.name for m in voxels.about.materials]),
    )


def _ratio(a: int, b: int) -> float:
    """To three decimals, rounded half up in whole numbers."""
    return (2000 * a + b) // (2 * b) / 1000


def _courts(design: Design) -> tuple[CourtMetrics, ...]:
    z = heights(design)
    high = z.plate + 1 - z.ground
    return tuple(
        CourtMetrics(
            width=c.width,
            depth=c.depth,
            height=high,
            width_to_height=_ratio(min(c.width, c.depth), high),
        )
        for c in design.courts
    )


def _named(numbers: np.ndarray, names: list[str]) -> dict[str, int]:
    """How many cells have each number, by name; number 0 and names that do not occur left out."""
    counts = np.bincount(numbers.reshape(-1), minlength=len(names)).tolist()
    found: dict[str, int] = {}
    for name, count in zip(names[1:], counts[1:], strict=True):
        if count:
            found[name] = found.get(name, 0) + count
    return found


def _stages(voxels: Voxels) -> dict[str, StageMetrics]:
    pieces = [f.piece for f in voxels.about.forms]
    found: dict[str, StageMetrics] = {}
    for number, name in enumerate(voxels.about.stages):
        if number:
            forms = voxels.form[voxels.stage == number]
            found[name] = StageMetrics(cells=int(forms.size), pieces=_named(forms, pieces))
    return found
