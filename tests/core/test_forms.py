"""Forms: their shapes, and that names and shapes turn together."""

from __future__ import annotations

import re

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from genhouse.core.axes import Turn
from genhouse.core.forms import (
    CORNERS,
    FORMS,
    NUMBER,
    SUB,
    Form,
    Shape,
    bits_of,
    shape_of,
    shapes,
    turned,
)

TURNS = [Turn(1, 1, q, mirror) for q in range(4) for mirror in (False, True)]
each_form = pytest.mark.parametrize("form", FORMS, ids=lambda form: form.name)


def as_numpy_turns(shape: Shape, turn: Turn) -> Shape:
    return np.rot90(shape[::-1] if turn.mirror else shape, turn.quarters, axes=(0, 1))


def filled(name: str) -> Shape:
    return FORMS[NUMBER[name]].shape


@each_form
def test_turned_names_agree_with_turned_shapes(form: Form) -> None:
    for turn in TURNS:
        assert np.array_equal(filled(turned(form.name, turn)), as_numpy_turns(form.shape, turn))
        assert FORMS[NUMBER[turned(form.name, turn)]].soffit == form.soffit


@each_form
def test_four_quarter_turns_and_two_mirrors_are_none(form: Form) -> None:
    for turn, times in ((Turn(1, 1, 1), 4), (Turn(1, 1, 2), 2), (Turn(1, 1, 0, True), 2)):
        name = form.name
        for _ in range(times):
            name = turned(name, turn)
        assert name == form.name


@each_form
def test_a_turn_keeps_the_piece_a_builder_counts(form: Form) -> None:
    for turn in TURNS[::2]:
        piece = FORMS[NUMBER[turned(form.name, turn)]].piece
        tracks = {"leaf near", "leaf far"}
        assert piece == form.piece or {piece, form.piece} == tracks


@each_form
def test_a_form_is_named_by_its_piece_and_the_way_it_faces(form: Form) -> None:
    facing = rf"( ({'|'.join(('east', 'north', 'west', 'south', *CORNERS, 'x', 'y'))}))?"
    assert re.fullmatch(re.escape(form.piece) + facing + "( soffit)?", form.name)
    assert form.name == f"{form.piece} {form.facing}".strip() + " soffit" * form.soffit


def test_only_air_is_empty() -> None:
    assert [form.name for form in FORMS if not form.fill] == ["air"]
    assert NUMBER["air"] == 0


def test_numbers_fit_the_file_contract() -> None:
    """``form`` is uint16 and ``shapes`` is bool [F, 4, 4, 4] there."""
    assert len(NUMBER) == len(FORMS) <= 1 << 16
    assert (shapes().dtype, shapes().shape) == (np.dtype(bool), (len(FORMS), SUB, SUB, SUB))
    assert not shapes().flags.writeable
    assert [int(shape.sum()) for shape in shapes()] == [form.fill for form in FORMS]


def test_courses_by_hand() -> None:
    """A course east is a half below and a half above its eastern half: 32 + 16 sub-cells."""
    course = filled("course east")
    assert course.sum() == 48
    assert course[:, :, :2].all()
    assert course[2:].all()
    assert not course[:2, :, 2:].any()
    assert np.array_equal(filled("course east soffit"), course[:, :, ::-1])
    assert filled("course north")[:, 2:].all()


def test_hips_and_valleys_by_hand() -> None:
    """A hip is what two courses share, a valley what either fills."""
    for corner in CORNERS:
        one, other = (filled(f"course {side}") for side in corner.split("-"))
        assert np.array_equal(filled(f"hip piece {corner}"), one & other)
        assert np.array_equal(filled(f"valley piece {corner}"), one | other)


def test_a_panel_stands_against_its_side() -> None:
    assert filled("panel east")[3].all()
    assert filled("panel north")[:, 3].all()
    assert filled("panel west")[0].all()
    assert filled("panel south")[:, 0].all()
    assert all(FORMS[NUMBER[f"panel {side}"]].fill == 16 for side in ("east", "west"))


def test_half_courses_share_a_cell_without_overlap() -> None:
    lower, upper = filled("half course"), filled("half soffit")
    assert (lower ^ upper).all()
    assert not lower[:, :, 2:].any()


@given(bits=st.integers(0, (1 << 64) - 1))
def test_bits_and_shapes_are_each_others_inverse(bits: int) -> None:
    shape = shape_of(bits)
    assert bits_of(shape) == bits
    x, y, z = 1, 2, 3
    assert shape[x, y, z] == bool(bits >> ((x * 4 + y) * 4 + z) & 1)
