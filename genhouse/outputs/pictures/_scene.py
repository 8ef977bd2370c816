"""What all pictures of one house share."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from genhouse.model.voxels import Voxels
from genhouse.outputs.pictures._finish import MOTTLE, ROUND, SOFT, looks, piece_tones

Mask = npt.NDArray[np.bool_]

LOOSE = ("court", "mats", "fittings", "lamps")
"""Building stages that set what stands in a house or garden, not the building itself."""


class Scene(Struct, frozen=True, kw_only=True, eq=False):
    """A house made ready for drawing.

    solid: bool ``[4 X, 4 Y, 4 Z]``.  By cell: look and tone, see ``_finish``; soft, whether its own
    creases are drawn lightly.  By material: colour ``[M, 3]``; mottle, in hundredths; glows.
    built: by stage, whether it belongs to the building itself, and is dark where it is cut.
    """

    voxels: Voxels
    solid: Mask
    look: npt.NDArray[np.uint8]
    tone: npt.NDArray[np.int16]
    colour: npt.NDArray[np.int32]
    mottle: npt.NDArray[np.int32]
    soft: Mask
    glows: Mask
    built: Mask


def subdivided(voxels: Voxels) -> Mask:
    """bool ``[4 X, 4 Y, 4 Z]``: which sub-cells are filled."""
    x, y, z = voxels.size
    cells = voxels.shapes[voxels.form]
    return cells.transpose(0, 3, 1, 4, 2, 5).reshape(4 * x, 4 * y, 4 * z)


def _rgb(colour: str) -> tuple[int, ...]:
    return tuple(int(colour[n : n + 2], 16) for n in (1, 3, 5))


def _soft(voxels: Voxels, finish: tuple[str, ...]) -> Mask:
    by_material = np.array([name in SOFT for name in finish])
    by_form = np.array([form.piece in ROUND for form in voxels.about.forms])
    soft: Mask = by_material[voxels.material] | by_form[voxels.form]
    return soft


def scene(voxels: Voxels, finishes: Mapping[str, str] | None = None) -> Scene:
    """Make a house ready for drawing.  finishes: finish by name of material; the rest is plain."""
    materials = voxels.about.materials
    finish = tuple((finishes or {}).get(m.name, "plain") for m in materials)
    look = looks(voxels, finish)
    vary = np.array([MOTTLE.get(f, MOTTLE["plain"]) for f in finish], dtype=np.int32)
    return Scene(
        voxels=voxels,
        solid=subdivided(voxels),
        look=look,
        tone=piece_tones(voxels, look, vary[:, 0]),
        colour=np.array([_rgb(m.colour) for m in materials], dtype=np.int32),
        mottle=vary[:, 1],
        soft=_soft(voxels, finish),
        glows=np.array([m.lumens > 0 for m in materials]),
        built=np.array([stage not in LOOSE for stage in voxels.about.stages]),
    )
