"""The sky that level ground sees from a court: the sky view factor, 0 to 1.

It is the part of an evenly bright sky's light on open level ground that still arrives.
"""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt

Heights = npt.NDArray[np.float64]
WAYS = 720
"""Directions in which the horizon is taken."""


def rectangle(width: float, depth: float, height: float) -> float:
    """From the middle of a rectangular court's floor, walls of one height round it: closed form.

    Four times the view factor of a quarter of the opening, a by b at height h, from below its
    corner; with A = a / h and B = b / h it is [A / sqrt(1 + A^2) atan(B / sqrt(1 + A^2)) +
    B / sqrt(1 + B^2) atan(A / sqrt(1 + B^2))] / 2 pi.  R. Siegel and J. Howell, *Thermal Radiation
    Heat Transfer* (1972), as in P. Tregenza and S. Sharples, *Daylight Algorithms*, 3.14.
    """
    a, b = width / 2 / height, depth / 2 / height
    p, q = math.hypot(1, a), math.hypot(1, b)
    return 4 * (a / p * math.atan(b / p) + b / q * math.atan(a / q)) / (2 * math.pi)


def over(tops: Heights, x: float, y: float) -> float:
    """From the point (x, y), over what stands round it.

    tops: float [X, Y], how many cells each column stands above the point.  In each direction the sky
    begins at the steepest line of sight g over a column's near edge; the mean of cos^2 g.
    """
    turn = (np.arange(WAYS) + 0.5) * (2 * math.pi / WAYS)
    ways = np.cos(turn), np.sin(turn)
    steep = np.maximum(_steepest(tops, x, y, *ways), _steepest(tops.T, y, x, *ways[::-1]))
    return float(np.mean(1 / (1 + steep * steep)))


def _steepest(tops: Heights, x: float, y: float, dx: Heights, dy: Heights) -> Heights:
    """Greatest rise over run in each direction, over the edges across the first axis."""
    columns, rows = tops.shape
    edges = np.arange(columns + 1)
    with np.errstate(divide="ignore", invalid="ignore"):
        run = (edges - x) / dx[:, None]
        across = np.floor(y + run * dy[:, None])
    column = np.where(dx[:, None] > 0, edges, edges - 1)
    seen = (run > 0) & (column >= 0) & (column < columns) & (across >= 0) & (across < rows)
    at = (np.where(seen, column, 0), np.where(seen, across, 0).astype(np.intp))
    rise = np.where(seen, tops[at], 0) / np.where(seen, run, 1)
    return np.asarray(rise.max(axis=1))
