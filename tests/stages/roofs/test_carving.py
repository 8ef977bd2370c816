"""Carving: a shell of pieces lets nothing through, at the resolution of the pieces themselves."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import ndimage

from genhouse.core.box import Rect
from genhouse.core.forms import FORMS, shapes
from genhouse.stages.roofs.carving import _best_forms, _octants, carve
from genhouse.stages.roofs.profiles import slope
from genhouse.stages.roofs.slopes import NONE, across, eaves, join, prism, shell
from tests.houses import TIMBER

LAYERS = 16
OCTANTS = [np.unravel_index(i, (2, 2, 2)) for i in range(8)]


def best_form(needed: int, sky: int) -> int:
    """The form that fills the needed octants with the least rise into the sky, then the least bulk.

    needed, sky: octants as bits ``x * 4 + y * 2 + z``.  Returns a form number.
    """
    fits = [(n, bits) for n, bits in _octants() if bits & needed == needed]
    return min(fits, key=lambda f: ((f[1] & sky).bit_count(), f[1].bit_count(), f[0]))[0]


def halves(form: int) -> np.ndarray:
    """Which of a form's eight octants are wholly filled: bool [2, 2, 2]."""
    return FORMS[form].shape.reshape(2, 2, 2, 2, 2, 2).all(axis=(1, 3, 5))


def bits(of: np.ndarray) -> int:
    return sum(1 << i for i, at in enumerate(OCTANTS) if of[at])


def random_roof(seed: int) -> np.ndarray:
    """A union of prisms as wings make it: rectangles with right angles, of several spans and heights."""
    dice = np.random.default_rng(seed)
    size, fields = (20, 18), []
    for _ in range(dice.integers(1, 6)):
        axis, span = str(dice.choice(["x", "y"])), int(dice.choice([4, 6, 8, 10]))
        low, high = dice.integers(0, 3, 2).tolist()
        wide, long = (size[1], size[0]) if axis == "x" else size
        start = int(dice.integers(0, wide - span - low - high))
        a = int(dice.integers(0, long - 5))
        b = int(dice.integers(a + 5, long + 1))
        c, d = start, start + low + span + 1 + high
        r = Rect(a, c, b, d) if axis == "x" else Rect(c, a, d, b)
        profile = TIMBER.roof.profiles[dice.integers(len(TIMBER.roof.profiles))]
        pairs = slope(span, profile, steep=bool(dice.integers(2)))
        heights = across(eaves(low, 1), pairs, eaves(high, 1))
        fields.append(prism(size, r, heights, axis, int(dice.integers(10, 14))))
    return join(fields)


def cut(top: np.ndarray, under: np.ndarray) -> np.ndarray:
    """What the pieces of a shell fill, in quarters of a cell."""
    x, y, z = top.shape[0] // 2, top.shape[1] // 2, LAYERS
    forms = np.zeros((x * y, z), dtype=np.uint16)
    pieces = carve(top, under)
    forms[pieces.column, pieces.z] = pieces.form
    assert np.count_nonzero(forms) == len(pieces.form)
    return shapes()[forms.reshape(x, y, z)].transpose(0, 3, 1, 4, 2, 5).reshape(4 * x, 4 * y, 4 * z)


def of_cells(field: np.ndarray) -> np.ndarray:
    return field.repeat(2, axis=0).repeat(2, axis=1)


@given(st.integers(0, 2**32 - 1))
@settings(max_examples=60)
def test_no_face_edge_or_corner_leads_from_the_sky_into_the_void(seed: int) -> None:
    """Walls rise to the underside along the outline, as in a house; the rest must keep itself tight."""
    top = random_roof(seed)
    under = shell(top)
    solid = cut(top, under)
    there = (top != NONE).reshape(20, 2, 18, 2).all(axis=(1, 3))
    edge = there & ~ndimage.binary_erosion(there, np.ones((3, 3)))
    z = np.arange(4 * LAYERS)
    above, below = of_cells(top)[..., None] * 2, of_cells(under)[..., None] * 2
    solid |= of_cells(of_cells(edge))[..., None] & (z < above)
    labels, _ = ndimage.label(~solid, np.ones((3, 3, 3)))
    sky = np.unique(labels[..., -1])
    void = of_cells(of_cells(there & ~edge))[..., None] & (z < below) & ~solid
    assert not np.isin(labels[void], sky[sky > 0]).any()


@given(st.integers(0, 2**32 - 1))
@settings(max_examples=60)
def test_every_half_cell_of_the_shell_is_filled(seed: int) -> None:
    top = random_roof(seed)
    under = shell(top)
    z = np.arange(2 * LAYERS)
    needed = (top != NONE)[..., None] & (z >= under[..., None]) & (z < top[..., None])
    solid = cut(top, under)
    got = solid.reshape(40, 2, 36, 2, 2 * LAYERS, 2).all(axis=(1, 3, 5))
    assert not (needed & ~got).any()


@given(st.integers(0, 2**32 - 1))
@settings(max_examples=40)
def test_pieces_rise_at_most_half_a_cell_over_the_surface(seed: int) -> None:
    top = random_roof(seed)
    solid = cut(top, shell(top))
    over = solid & (np.arange(4 * LAYERS) >= of_cells(top)[..., None] * 2 + 2)
    assert not over.any()


@pytest.mark.parametrize("needed", range(1, 256, 7))
@pytest.mark.parametrize("sky", [0, 0b10101010, 0b11110000, 0b10000000])
def test_the_best_piece_covers_what_is_needed_and_no_other_rises_less(
    needed: int, sky: int
) -> None:
    sky &= ~needed
    chosen = bits(halves(best_form(needed, sky)))
    assert chosen & needed == needed
    roofing = ("whole", "half course", "half soffit", "course", "hip piece", "valley piece")
    others = [bits(halves(n)) for n, form in enumerate(FORMS) if form.piece in roofing]
    fits = [o for o in others if o & needed == needed]
    assert (chosen & sky).bit_count() == min((o & sky).bit_count() for o in fits)


@pytest.mark.parametrize("needed", range(1, 256, 5))
def test_the_table_of_best_pieces_is_what_each_is_by_trying_all(needed: int) -> None:
    sky = np.arange(256, dtype=np.uint8)
    found = _best_forms(np.full(256, needed, dtype=np.uint8), sky)
    assert found.tolist() == [best_form(needed, above) for above in range(256)]


@pytest.mark.parametrize(
    ("columns", "form"),
    [
        ([[1, 1], [1, 1]], "half course"),
        ([[2, 2], [2, 2]], "whole"),
        ([[1, 1], [2, 2]], "course east"),
        ([[2, 1], [2, 1]], "course south"),
        ([[1, 1], [1, 2]], "hip piece north-east"),
        ([[1, 2], [2, 2]], "valley piece north-east"),
        ([[2, 1], [2, 2]], "valley piece south-east"),
    ],
)
def test_pieces_by_hand(columns: list[list[int]], form: str) -> None:
    """Heights of the four quarter columns of one cell, [x][y], over whole ground."""
    top = np.array(columns, dtype=np.int16)
    pieces = carve(top, np.zeros_like(top))
    assert pieces.column.tolist() == pieces.z.tolist() == [0]
    assert [FORMS[number].name for number in pieces.form.tolist()] == [form]


def test_pieces_come_column_by_column_and_lowest_first() -> None:
    roof = random_roof(3)
    pieces = carve(roof, shell(roof))
    places = list(zip(pieces.column.tolist(), pieces.z.tolist(), strict=True))
    assert places == sorted(set(places))
