"""Carried: what stands stands on something, beams bear at both ends, and no line has a gap.

A post is a column of the frame with two of its pieces one on the other; a beam is a row of them.
"""

from __future__ import annotations

import numpy as np

from genhouse.inspection.fabric import Fabric, moved
from genhouse.inspection.subcells import SUB, Bool
from genhouse.inspection.verdict import Finding, Verdict, finding
from genhouse.model.voxels import Voxels

NAME = "carried"
STANDING = ("walls", "screens", "fittings")
"""Stages of which every piece stands on another."""
FRAMED = ("frame", "walls", "floors", "stair")
"""Stages that build in unbroken lines."""
RAILED = ("floors", "stair")


def carried(voxels: Voxels, fabric: Fabric) -> Verdict:
    """Five rules, below."""
    frame = voxels.set_by("frame")
    railing = fabric.filled & ~(fabric.shut[0] | fabric.shut[1] | fabric.shut[2])
    return Verdict(
        check=NAME,
        findings=(
            *_afoot(voxels, fabric, railing),
            *_posts(frame),
            *_beams(fabric, frame),
            *_lines(voxels, fabric, railing),
            *_heads(voxels, fabric),
        ),
        evidence=f"{int(np.count_nonzero(frame))} pieces of the frame",
    )


def _afoot(voxels: Voxels, fabric: Fabric, railing: Bool) -> tuple[Finding, ...]:
    """RULE 1: walls, leaves, fittings and rails have something under each piece."""
    standing = voxels.set_by(*STANDING) | voxels.set_by(*RAILED) & railing
    standing[:, :, 1:] &= ~fabric.filled[:, :, :-1]
    standing[:, :, 0] = False
    return finding(NAME, standing, "what stands here has nothing under it")


def _posts(frame: Bool) -> tuple[Finding, ...]:
    """RULE 2: a post goes on from its foot to its head."""
    posts = (frame[:, :, 1:] & frame[:, :, :-1]).any(axis=2, keepdims=True)
    begun = np.logical_or.accumulate(frame, axis=2)
    to_come = np.logical_or.accumulate(frame[:, :, ::-1], axis=2)[:, :, ::-1]
    gap = posts & begun & to_come & ~frame
    return finding(NAME, gap, "a post has a gap")


def _beams(fabric: Fabric, frame: Bool) -> tuple[Finding, ...]:
    """RULE 3: a beam ends at a post, or against something."""
    row = frame & ~moved(frame, 2, -1) & ~moved(frame, 2, 1)
    loose = np.zeros_like(frame)
    for axis in (0, 1):
        ends = moved(frame, axis, 1) ^ moved(frame, axis, -1)
        met = moved(fabric.filled, axis, 1) & moved(fabric.filled, axis, -1)
        loose |= row & ends & ~met
    return finding(NAME, loose, "a beam ends on nothing")


def _lines(voxels: Voxels, fabric: Fabric, railing: Bool) -> tuple[Finding, ...]:
    """RULE 4: no two pieces of one stage and material would meet but for an empty cell, all open above; a
    step on a floor is no line."""
    covered, step = np.zeros_like(railing), (fabric.outlines.top <= SUB // 2)[voxels.form]
    covered[:, :, :-1] = fabric.filled[:, :, 1:]
    step[:, :, 1:] &= fabric.shut[2][:, :, :-1]
    line = (voxels.set_by(*FRAMED) | fabric.roof & railing) & ~covered & ~step
    kind = (voxels.material.astype(np.int16) << 5 | voxels.stage) * line
    gaps = np.zeros_like(line)
    for axis, (low, high) in enumerate(fabric.outlines.ends):
        before = moved(kind * high[voxels.form], axis, 1)
        behind = moved(kind * low[voxels.form], axis, -1)
        gaps |= (before == behind) & (before > 0)
    gaps &= ~fabric.filled & ~covered
    return finding(NAME, gaps, "a line has a gap of one cell")


def _heads(voxels: Voxels, fabric: Fabric) -> tuple[Finding, ...]:
    """RULE 5: no piece of a wall ends one cell below another piece."""
    gap = np.zeros_like(fabric.filled)
    gap[:, :, 1:-1] = voxels.set_by("walls")[:, :, :-2] & fabric.filled[:, :, 2:]
    return finding(NAME, gap & ~fabric.filled, "a wall has nothing on its head")
