"""Beams: every arrangement of a few fittings in a small room, each once and worth what it is worth."""

from __future__ import annotations

from collections import Counter
from itertools import product

import pytest

from genhouse.core.box import Rect
from genhouse.stages.furnishing import beams as module
from genhouse.stages.furnishing.beams import Ask, Beam, Beams
from genhouse.stages.furnishing.choices import Wish
from genhouse.stages.furnishing.columns import columns
from genhouse.stages.furnishing.floorplan import LAYERS, Floor
from genhouse.stages.furnishing.worth import Stood, worth
from tests.houses import TIMBER

FITTINGS = dict(TIMBER.fittings)
ONE_CELL = [
    name
    for name, f in TIMBER.fittings
    if f.size == (1, 1) and f.against in ("wall", "any") and not (f.fire or f.around)
]
Told = frozenset[tuple[Stood, int]]


def room(width: int, depth: int, door: int) -> Floor:
    """A bare room with walls all round and one cell by its door to be kept."""
    blank = Floor(room=1, rect=Rect(2, 3, 2 + width, 3 + depth))
    whole = blank.block(blank.rect)
    inner = blank.block(blank.rect.grown(-1)) if min(width, depth) > 2 else 0
    keep = blank.bit(2 + door, 3)
    hug = whole & ~inner & ~keep
    return Floor(room=1, rect=blank.rect, free=whole, keep=keep, hug=hug, high=(whole,) * LAYERS)


def wished(floor: Floor, names: list[str]) -> list[Wish]:
    size = floor.rect.width, floor.rect.depth
    return [
        Wish(name, FITTINGS[name], columns(FITTINGS[name], False, *size, 1), False, mix)
        for mix, name in enumerate(names)
    ]


def told(stood: list[Stood]) -> Told:
    return frozenset(Counter(stood).items())


def every(floor: Floor, wishes: list[Wish]) -> dict[Told, int]:
    """All arrangements by trying each stance with each, and what each is worth by its terms."""
    found = {}
    for stances in product(*(wish.columns.stances for wish in wishes)):
        solid, total = 0, 0
        for stance in stances:
            solid |= stance.solid
            total += stance.solid.bit_count()
        used = [stance.use for stance in stances]
        free = floor.free & ~floor.keep
        if solid & ~free or total > solid.bit_count():
            continue
        if any(use & solid or use & ~floor.free for use in used):
            continue
        stood = [Stood(w.name, w.fitting, s) for w, s in zip(wishes, stances, strict=True)]
        found[told(stood)] = worth(floor, stood)
    return found


def grown(floor: Floor, wishes: list[Wish], *, marked: bool) -> Beam:
    """The beam of all; where not marked, all arrangements of one worth share their word."""
    beams = Beams([floor], len(wishes))
    if not marked:
        beams.bare._mark = 0
    beam = beams.empty(0)
    for wish in wishes:
        (found,) = beams.grown([Ask(0, beam, wish)])
        assert found is not None
        beam = found
    return beam


@pytest.mark.parametrize("marked", [True, False])
@pytest.mark.parametrize(
    ("size", "names"),
    [
        ((3, 3), ONE_CELL[:1] * 2),
        ((4, 3), ONE_CELL[:1] * 3),
        ((3, 4), [ONE_CELL[0], ONE_CELL[1], ONE_CELL[0]]),
        ((4, 2), [ONE_CELL[1], ONE_CELL[0], ONE_CELL[1]]),
    ],
)
def test_no_arrangement_is_lost_and_none_comes_twice(
    size: tuple[int, int], names: list[str], marked: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Twins change places and are the same; what merely ties, or shares its word, is not."""
    monkeypatch.setattr(module, "WIDTH", 1 << 16)
    floor = room(*size, door=1)
    wishes = wished(floor, names)
    beam = grown(floor, wishes, marked=marked)
    seen = []
    for picks in beam.picks.tolist():
        stances = [w.columns.stances[n] for w, n in zip(beam.placed, picks, strict=True)]
        seen.append(
            told([Stood(w.name, w.fitting, s) for w, s in zip(beam.placed, stances, strict=True)])
        )
    expected = every(floor, wishes)
    assert len(expected) > 20
    assert dict(zip(seen, beam.worths, strict=True)) == expected
    assert len(seen) == len(expected)
    assert beam.worths == sorted(beam.worths, reverse=True)
