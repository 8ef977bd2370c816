"""One bay of the frame in the round, each member with its name."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape
from itertools import pairwise

from msgspec import Struct

from genhouse.core.box import Box, Rect
from genhouse.model.design import Design
from genhouse.model.roof import Cover
from genhouse.outputs.guide._words import member_names
from genhouse.outputs.pictures.camera import project
from genhouse.outputs.plans._pen import CARD, DIMENSION, INK, PAPER, TIMBER, drawing, num, tag
from genhouse.outputs.storeys import storeys

UNIT = 17.0
"""Units along a cell's edge."""
EDGE = 22


class Member(Struct, frozen=True):
    """name: of its kind.  box: the part of it that stands in the bay."""

    name: str
    box: Box


def bay_drawing(design: Design) -> tuple[str, tuple[str, ...]]:
    """The middle bay of the largest wing that has a frame: SVG, and the names of its numbers, from 1.

    Both empty where none has: walls alone bear the house.
    """
    for cover in sorted(design.covers, key=lambda c: (c.rect.area, c.wing), reverse=True):
        ground = _bay(design, cover)
        if members := tuple(_members(design, ground)):
            names = tuple(dict.fromkeys(member.name for member in members))
            return _drawn(ground, members, names, cover.called), names
    return "", ()


def _bay(design: Design, cover: Cover) -> Rect:
    """From one line of posts to the next, right across a wing."""
    lie, lowest = cover.lie, storeys(design)[0]
    standing = design.palette.having("stands")
    lines = sorted(
        {
            part.box.rect.lie(cover.axis).x0
            for part in design.parts
            if part.role in standing
            and part.box.z0 <= lowest.floor < part.box.z1
            and cover.rect.has(*part.box[:2])
        }
    )
    gaps = [(a, b) for a, b in pairwise(lines) if b - a > 1]
    a, b = gaps[len(gaps) // 2] if gaps else (lie.x0, lie.x1 - 1)
    return Rect(a, lie.y0, b + 1, lie.y1).lie(cover.axis)


def _members(design: Design, ground: Rect) -> Iterator[Member]:
    """Those of the frame and the roof, in the order in which they are raised."""
    names = member_names(design)
    for role in design.palette.having("members"):
        for part in design.parts:
            if part.role == role and part.box.rect.meets(ground):
                r = part.box.rect.meet(ground)
                yield Member(names[role], r.up(part.box.z0, part.box.z1))


def _drawn(ground: Rect, members: tuple[Member, ...], names: tuple[str, ...], wing: str) -> str:
    boxes = sorted(members, key=lambda m: (m.box.x0 - m.box.y1 + m.box.z0, m.box))
    faces = [face for m in boxes for face in _faces(m.box, ground)]
    marks = "".join(_marks(boxes, names, ground))
    corners = [p for _, points in faces for p in points]
    corners = corners or [(0, 0)]
    left, top = (min(p[k] for p in corners) - EDGE for k in (0, 1))
    right, foot = (max(p[k] for p in corners) + EDGE for k in (0, 1))
    body = "".join(
        f'<path d="M{" ".join(f"{num(x)} {num(y)}" for x, y in points)}z" fill="{TIMBER}" '
        f'stroke="{INK}" stroke-width=".7"/><path d="M'
        f'{" ".join(f"{num(x)} {num(y)}" for x, y in points)}z" fill="{INK}" fill-opacity="{shade}"/>'
        for shade, points in faces
    )
    size = (right - left, foot - top)
    return drawing(
        escape(f"One bay of the {wing}, seen from the south-east"),
        size,
        tag("rect", width=size[0], height=size[1], fill=PAPER),
        tag("g", body + marks, transform=f"translate({num(-left)} {num(-top)})"),
        scale=1.3,
        font_family="sans-serif",
    )


Point = tuple[float, float]


def _at(x: float, y: float, z: float, ground: Rect) -> Point:
    u, v = project(x - ground.x0, ground.y1 - y, z)
    return UNIT * u, -UNIT * v


def _faces(box: Box, ground: Rect) -> Iterator[tuple[float, list[Point]]]:
    """The three that look at the camera in the south-east."""
    x0, y0, z0, x1, y1, z1 = box
    east = [(x1, y0, z0), (x1, y1, z0), (x1, y1, z1), (x1, y0, z1)]
    south = [(x0, y0, z0), (x1, y0, z0), (x1, y0, z1), (x0, y0, z1)]
    up = [(x0, y0, z1), (x1, y0, z1), (x1, y1, z1), (x0, y1, z1)]
    for shade, corners in zip((0.35, 0.15, 0.0), (east, south, up), strict=True):
        yield shade, [_at(*corner, ground) for corner in corners]


def _marks(boxes: list[Member], names: tuple[str, ...], ground: Rect) -> Iterator[str]:
    """A number on the foremost member of each kind."""
    foremost = {member.name: member.box for member in boxes}
    for n, name in enumerate(names, 1):
        x0, y0, z0, x1, _, z1 = foremost[name]
        x, y = _at((x0 + x1) / 2, y0, (z0 + z1) / 2, ground)
        yield (
            f'<circle cx="{num(x)}" cy="{num(y)}" r="7" fill="{CARD}" stroke="{DIMENSION}"/>'
            f'<text x="{num(x)}" y="{num(y + 3)}" font-size="8.5" text-anchor="middle" '
            f'fill="{DIMENSION}">{n}</text>'
        )
