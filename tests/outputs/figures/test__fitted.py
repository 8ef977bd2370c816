"""How a house is furnished: counts held to what stands where, cell by cell."""

from __future__ import annotations

from msgspec.structs import replace

from genhouse.outputs.figures import _fitted
from genhouse.traditions.loader import load_tradition
from tests.outputs.houses import LARGE, SEEDS, built, designed

TIMBER = load_tradition("timber")


def test_a_case_set_before_a_window_is_counted() -> None:
    """A whole piece, put where a window lets light in, hides it; a sheet as thin as a board does not."""
    design, voxels = designed(1), built(1)
    before = list(_fitted.windows(design, voxels))
    assert before
    assert not any(map(any, before))
    number = next(n for n, s in enumerate(_windows(design)) if s.level == 1)
    s = _windows(design)[number]
    room = next(r for r in design.rooms if r.indoor and r.id in (s.low, s.high))
    cell = next(iter(s.way.cells()))
    x, y = next(c for c in s.beside(cell) if room.has(*c))
    for form, hides in (("whole", True), ("sheet", False)):
        changed = {name: getattr(voxels, name).copy() for name in ("form", "stage")}
        names = [f.name for f in voxels.about.forms]
        changed["form"][x, y, room.floor + 1] = names.index(form)
        changed["stage"][x, y, room.floor + 1] = voxels.about.stages.index("fittings")
        found = list(_fitted.windows(design, _with(voxels, changed)))
        assert any(found[number]) is hides
        assert sum(map(any, found)) == hides


def _windows(design):  # type: ignore[no-untyped-def]
    return [s for s in design.segments if s.opening == "window" and s.way is not None]


def _with(voxels, changed):  # type: ignore[no-untyped-def]
    from dataclasses import replace as with_fields

    return with_fields(voxels, **changed)


def test_workrooms_alike_and_fires_above_are_counted() -> None:
    """One workroom is given what another holds; an oven is carried upstairs."""
    from dataclasses import replace as with_fields

    for seed in SEEDS:
        design = designed(seed, LARGE)
        shops = [r for r in design.rooms if r.kind == "workshop"]
        if len(shops) < 2:
            continue
        assert _fitted.alike(design, TIMBER) == 0
        one, other = shops[:2]
        copied = [replace(p, room=other.id) for p in design.placed if p.room == one.id]
        rest = [p for p in design.placed if p.room != other.id]
        assert _fitted.alike(with_fields(design, placed=(*rest, *copied)), TIMBER) == 1
        stove = next(p for p in design.placed if p.name == "stove")
        above = with_fields(design, placed=(replace(stove, room=one.id),))
        assert list(_fitted.fires_above(above, TIMBER)) == ["stove"]
        return
    raise AssertionError("no house with two workshops")
