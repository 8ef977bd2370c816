"""The key of forms: each drawn from above and in the round, with what else may stand for it."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from genhouse.core.forms import SUB
from genhouse.model.voxels import Voxels
from genhouse.outputs.pictures.camera import project
from genhouse.outputs.plans._pen import CELL, INK
from genhouse.outputs.sheets.sheet import Sheets

PLAIN = ("whole", "half course", "half soffit", "sheet", "post", "stout post")
"""Forms that most worlds have something like."""
EDGE = 7.0
"""Units along a sub-cell in the round."""

Shape = npt.NDArray[np.bool_]


class FormKey(Struct, frozen=True, kw_only=True):
    """name: of the piece.  turns: the ways in which it lies in this house.  picture, marks: SVG.
    fills: sub-cells of 64.  like: what may stand for it, empty where it is plain itself."""

    name: str
    turns: tuple[str, ...]
    picture: str
    marks: str
    count: int
    fills: int
    like: str


def form_key(voxels: Voxels, sheets: Sheets) -> tuple[FormKey, ...]:
    """Each piece of a house, by name."""
    counts = np.bincount(voxels.form.reshape(-1), minlength=len(voxels.about.forms))
    pieces: dict[str, list[int]] = {}
    for n in np.flatnonzero(counts).tolist():
        if n:
            pieces.setdefault(voxels.about.forms[n].piece, []).append(n)
    return tuple(
        _key(piece, forms, counts, voxels, sheets) for piece, forms in sorted(pieces.items())
    )


def _key(
    piece: str, forms: list[int], counts: npt.NDArray[np.intp], voxels: Voxels, sheets: Sheets
) -> FormKey:
    shape = voxels.shapes[forms[0]]
    names = [voxels.about.forms[n].name for n in forms]
    marks = "".join(
        f'<svg class="mark" viewBox="-1 -1 22 22" width="26" height="26" aria-hidden="true">'
        f'<path d="M0 0h{CELL}v{CELL}h-{CELL}z" fill="#fff" stroke="{INK}"/>{sheets.marked(n)}</svg>'
        for n in forms
    )
    return FormKey(
        name=piece,
        turns=tuple(filter(None, (name.removeprefix(piece).strip() for name in names))),
        picture=in_the_round(shape),
        marks=marks,
        count=int(counts[forms].sum()),
        fills=int(shape.sum()),
        like=_like(shape, piece, voxels),
    )


def _like(shape: Shape, piece: str, voxels: Voxels) -> str:
    """The plain form that differs from it in the fewest sub-cells, of those that shut what it shuts."""
    if piece in PLAIN or shape.all():
        return "" if piece in PLAIN else "whole"
    known = {f.name: voxels.shapes[n] for n, f in enumerate(voxels.about.forms) if f.piece in PLAIN}
    shut = [axis for axis in range(3) if shape.any(axis=axis).all()]
    fit = {n: other for n, other in known.items() if all(other.any(axis=a).all() for a in shut)}
    return min(fit, key=lambda name: (int((fit[name] ^ shape).sum()), name)) if fit else "whole"


def in_the_round(shape: Shape) -> str:
    """A piece seen from the south-east and above, as SVG; the classes of faces say which way they
    look.
    """
    faces = sorted(_faces(shape))
    body = "".join(f'<path class="{look}" d="{path}"/>' for *_, look, path in faces)
    size = 'viewBox="-26 -30 52 60" width="52" height="60"'
    return f'<svg class="round" {size} aria-hidden="true">{body}</svg>'


def _faces(shape: Shape) -> Iterator[tuple[int, int, str, str]]:
    """Those that look at the camera, the furthest first: the camera's i is east and its j south.

    A sub-cell is hidden by the one that lies right before it on its line of sight.
    """
    solid = np.pad(shape, SUB)
    for x, y, z in np.argwhere(shape).tolist():
        at = (x + SUB, y + SUB, z + SUB)
        if any(solid[at[0] + n, at[1] - n, at[2] + n] for n in range(1, SUB)):
            continue
        i, j, k = x, SUB - 1 - y, z
        depth = i + j + k
        if not solid[at[0] + 1, at[1], at[2]]:
            yield depth, 0, "r", _face((i + 1, j, k), (0, 1, 0), (0, 0, 1))
        if not solid[at[0], at[1] - 1, at[2]]:
            yield depth, 1, "l", _face((i, j + 1, k), (1, 0, 0), (0, 0, 1))
        if not solid[at[0], at[1], at[2] + 1]:
            yield depth, 2, "u", _face((i, j, k + 1), (1, 0, 0), (0, 1, 0))


def _face(at: tuple[int, int, int], a: tuple[int, int, int], b: tuple[int, int, int]) -> str:
    corners = [
        at,
        tuple(map(sum, zip(at, a, strict=True))),
        tuple(map(sum, zip(at, a, b, strict=True))),
        tuple(map(sum, zip(at, b, strict=True))),
    ]
    points = (project(*corner) for corner in corners)
    places = " ".join(f"{EDGE * u:.0f} {-EDGE * v:.0f}" for u, v in points)
    return f"M{places}z"
