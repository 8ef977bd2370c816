"""The one door to the noise package.

Samples are taken on a lattice of quarters only.  There each product of two-dimensional gradient
noise is a short binary fraction, held exactly by a 32-bit float, so no compiler or platform rounds
it differently; the result is returned as a whole number.
"""

from __future__ import annotations

from collections.abc import Iterable

UNIT = 1 << 20
"""What ``gradient`` returns for a noise value of 1."""


def gradient(x4: int, y4: int, *, layer: int = 0) -> int:
    """Gradient noise at (x4 / 4, y4 / 4), as a whole number of 1 / UNIT.

    x4, y4: quarters of a lattice step, taken modulo 256 steps.  layer: independent fields.
    """
    return gradients([(x4, y4)], layer=layer)[x4, y4]


def gradients(places: Iterable[tuple[int, int]], *, layer: int = 0) -> dict[tuple[int, int], int]:
    """The same at many places, by place."""
    from noise import pnoise2

    base = layer % 256
    return {
        (x4, y4): round(pnoise2((x4 % 1024) / 4.0, (y4 % 1024) / 4.0, base=base) * UNIT)
        for x4, y4 in places
    }
