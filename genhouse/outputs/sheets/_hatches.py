"""A hatch for each material: told apart by its lines, and by its colour where there is any."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from genhouse.model.voxels import Voxels
from genhouse.outputs.plans._pen import num

MOTIFS = (
    "M0 {h}H{s}",
    "M0 {s}L{s} 0",
    "M{h} 0V{s}",
    "M0 0L{s} {s}",
    "M{h} {a}v.01",
    "M0 {h}H{s}M{h} 0V{s}",
    "M0 {s}L{s} 0M0 0L{s} {s}",
    "M0 {h}h{a}M{h} 0h{a}",
    "M{a} 0v{a}M{h} {h}v{a}",
)
"""Lines across a square of so many units: ``{s}``, half of them and a quarter of them."""
SPACINGS = (6.0, 4.0, 9.0, 5.0, 7.0, 11.0, 3.0, 13.0)
WEIGHTS = (0.6, 1.3)
PALE, DARK = 0.55, 0.45


def by_frequency(voxels: Voxels) -> list[int]:
    """The materials of a house, the commonest first: these have the plainest hatches."""
    counts = np.bincount(voxels.material.reshape(-1), minlength=len(voxels.about.materials))
    used = [n for n in range(1, len(counts)) if counts[n]]
    return sorted(used, key=lambda n: (-int(counts[n]), n))


def hatch(rank: int, colour: str) -> str:
    """What a pattern is made of, its own width and height told: no two ranks have the same lines."""
    motif = MOTIFS[rank % len(MOTIFS)]
    turn, weight = divmod(rank // len(MOTIFS), len(WEIGHTS))
    s = SPACINGS[turn % len(SPACINGS)] + turn // len(SPACINGS)
    lines = motif.format(s=num(s), h=num(s / 2), a=num(s / 4))
    ground, ink = _mixed(colour, 255, PALE), _mixed(colour, 0, DARK)
    cap = ' stroke-linecap="round"' if "v.01" in motif else ""
    stroke = WEIGHTS[weight] * (2 if cap else 1)
    return (
        f'width="{num(s)}" height="{num(s)}"><rect width="{num(s)}" height="{num(s)}" fill="{ground}"/>'
        f'<path d="{lines}" stroke="{ink}" stroke-width="{num(stroke)}"{cap}/>'
    )


def pattern(name: str, inside: str) -> str:
    return f'<pattern id="{name}" patternUnits="userSpaceOnUse" {inside}</pattern>'


def _mixed(colour: str, with_: int, part: float) -> str:
    channels: Sequence[int] = [int(colour[n : n + 2], 16) for n in (1, 3, 5)]
    return "#" + "".join(f"{round(c + (with_ - c) * part):02x}" for c in channels)
