"""Gradient noise on the quarter lattice: published values, and why they are the same anywhere."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from noise import pnoise2

from genhouse.core.noise import UNIT, gradient

quarters = st.integers(-5000, 5000)
layers = st.integers(0, 255)

# pnoise2 of the package noise 1.2.2 (values recomputed independently, given to ten digits).
KNOWN = {
    (0.5, 0.5): -0.125,
    (1.5, 2.5): 0.125,
    (10.25, 20.75): 0.3938055038,
    (-0.5, 0.25): -0.4008789063,
}


@pytest.mark.parametrize("at", KNOWN)
def test_published_values(at: tuple[float, float]) -> None:
    found = gradient(int(at[0] * 4), int(at[1] * 4)) / UNIT
    assert found == pytest.approx(KNOWN[at], abs=1 / UNIT)


@given(x=quarters, y=quarters, layer=layers)
def test_noise_is_nothing_on_lattice_points(x: int, y: int, layer: int) -> None:
    """K. Perlin, "Improving Noise", SIGGRAPH 2002: gradients act from their own corner."""
    assert gradient(x * 4, y * 4, layer=layer) == 0


@given(x=st.integers(0, 1023), y=st.integers(0, 1023), layer=layers)
def test_quarter_values_are_short_binary_fractions(x: int, y: int, layer: int) -> None:
    """Quarters of gradients weighted twice by the fade 6t^5 - 15t^4 + 10t^3, whose values at the
    quarters are whole 512ths (53/512, 1/2, 459/512): a product is a whole 2**20th, and below 1 it
    has at most 20 of the 24 bits that a 32-bit float holds exactly (IEEE 754 binary32).
    """
    value = Fraction(pnoise2(x / 4, y / 4, base=layer))
    assert (value * 2**20).denominator == 1
    assert abs(value) <= 1


@given(x=quarters, y=quarters, layer=layers)
def test_a_gradient_is_the_nearest_whole_number_of_units(x: int, y: int, layer: int) -> None:
    value = gradient(x, y, layer=layer)
    exact = Fraction(pnoise2((x % 1024) / 4, (y % 1024) / 4, base=layer)) * UNIT
    assert type(value) is int
    assert abs(value - exact) <= Fraction(1, 2)


@given(x=quarters, y=quarters, layer=layers)
def test_the_field_repeats_after_256_steps(x: int, y: int, layer: int) -> None:
    assert gradient(x, y, layer=layer) == gradient(x + 1024, y - 1024, layer=layer + 256)


def test_layers_are_different_fields() -> None:
    fields = {tuple(gradient(x, 2, layer=layer) for x in range(40)) for layer in range(8)}
    assert len(fields) == 8
