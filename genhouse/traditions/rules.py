"""What the tables of a tradition must keep among themselves: a rule names the key and what would work."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import get_args

from genhouse.core.forms import CORNERS, NUMBER
from genhouse.core.sentences import closest
from genhouse.model.palette import DUTIES
from genhouse.model.part import STAGES
from genhouse.model.shapes import SHAPES
from genhouse.model.storeys import WELL, Heights
from genhouse.traditions.building import uses_of
from genhouse.traditions.folders import builders
from genhouse.traditions.lent import own_builders
from genhouse.traditions.looks import amiss, laid
from genhouse.traditions.needed import OF_KIND, USES
from genhouse.traditions.plan import amiss as unplanned
from genhouse.traditions.roofs import RoofRule
from genhouse.traditions.shelf import ARRANGEMENTS, GARDENS, YARDS
from genhouse.traditions.tradition import (
    LEAF,
    BayRule,
    Bound,
    Fitting,
    Kind,
    Office,
    Tables,
)
from genhouse.traditions.words import unsaid, untold
from genhouse.traditions.work import amiss as out_of_order

KNOWN = {"arrangements": ARRANGEMENTS, "gardens": GARDENS, "yards": YARDS, "outlines": (*SHAPES,)}
"""What can be drawn at all, by keys of the plan."""
STILL = ("frame", "floors", "mats", "stair", "roof")
"""Building stages that set nothing to be opened, or to flow."""
FLATTEST, STEEPEST = 3, 20
"""Rise of a roof in ten of run, half its span."""
LYING = ("x", "north", CORNERS[0], "whole")
"""Ways in which a form may lie: along an axis, toward a side, at a corner; or all of its name."""


def broken(tables: Tables) -> Iterator[str]:
    """A sentence for each rule that the tables break."""
    if tables.builders not in (known := (*builders(), *own_builders())):
        yield f"builders: there are no trades of {tables.builders!r}; {closest(tables.builders, known)}"
    yield from (f"heights.{words}" for words in _of_heights(tables.heights))
    yield from (f"plan.{words}" for words in unplanned(tables.plan, KNOWN))
    yield from (f"bays.{words}" for words in _of_bays(tables.bays))
    yield from (f"roof.{words}" for words in _of_roof(tables.roof, tables.bays.margin))
    for name, material in tables.materials:
        if not re.fullmatch("#[0-9a-f]{6}", material.colour):
            yield f"material.{name}.colour: {material.colour!r} is not #rrggbb, such as #8a5f3c"
    for duty in DUTIES:
        if not dict(tables.duties).get(duty):
            yield f"duty.{duty}: no role has it; give those that do"
    for name, (stage, _, form) in tables.uses:
        if stage not in STAGES:
            yield f"use.{name}: there is no building stage {stage!r}; {closest(stage, STAGES)}"
        if not any(form.format(side) in NUMBER for side in LYING):
            yield f"use.{name}: there is no form {form!r}; {closest(form, NUMBER)}"
    yield from _unsaid(tables)
    for name, fitting in tables.fittings:
        yield from (f"fitting.{name}.{words}" for words in _drawn(name, fitting))
    clear = {role for role, name in tables.roles if dict(tables.materials)[name].clear}
    yield from (f"front.{words}" for words in amiss(tables.front, clear))
    yield from (f"words.{words}" for words in unsaid(tables.words))
    yield from (f"step.{words}" for words in out_of_order(tables.steps))
    yield from (f"step.{words}" for words in untold(tables.steps, tables.words))
    for office in get_args(Office):
        if len(found := [n for n, k in tables.kinds if getattr(k, office) in (True, n)]) != 1:
            yield f"kind: {office} is said of {' and '.join(found) or 'none'}; say it of one kind"
    for name, kind in tables.kinds:
        yield from (f"kind.{name}.{words}" for words in _of_kind(kind))
        for use in kind.yards:
            if use not in (yards := tables.plan.yards):
                yield f"kind.{name}.yards: no yard of plan.yards is a {use!r}; {closest(use, yards)}"
    for name, bound in tables.bounds:
        yield from (f"bound.{name}{words}" for words in _of_bound(bound))


def _of_bound(bound: Bound) -> Iterator[str]:
    """What is amiss in what bounds yards."""
    if not len(bound.run) == len(bound.corner) >= LEAF:
        yield (
            f": its run and its corner are {len(bound.run)} and {len(bound.corner)} high; make both "
            f"alike, {LEAF} or more, as high as the leaf of a gate"
        )
    for part in ("run", "corner"):
        for _, form in getattr(bound, part):
            if laid(form, "x", "south") not in NUMBER:
                yield f".{part}: there is no form {form!r}; such as 'coping along'"


def _unsaid(tables: Tables) -> Iterator[str]:
    """What is asked for and not given, and materials that cannot do what their role is for."""
    uses = dict(tables.uses)
    for use in (*USES, *uses_of(tables.builders)):
        if use not in uses:
            yield f'use: nothing stands for {use!r}; say "{use}" = [building stage, role, form]'
    roles, materials = dict(tables.roles), dict(tables.materials)
    for name, (stage, role, _) in tables.uses:
        made = materials[roles[role]]
        if stage in STILL and (made.passable or made.liquid):
            how = "opens" if made.passable else "flows"
            yield f"use.{name}: what is set with the {stage} is not to {how.rstrip('s')}, and {role} {how}"
    asked = {flag: {uses[use][1] for use in of if use in uses} for flag, of in OF_KIND.items()}
    for palette, changes in (("", tables.roles), *tables.colours):
        for role, name in changes:
            for flag in ("liquid", "passable", "clear", "lumens"):
                own, new = (bool(getattr(materials[m], flag)) for m in (roles[role], name))
                if own != new or (role in asked.get(flag, ()) and not new):
                    where = f"palette.{palette}.{role}" if palette else f"role.{role}"
                    yield f"{where}: {name} {'has' if new else 'lacks'} {flag}, unlike what it is for"


def _of_heights(heights: Heights) -> Iterator[str]:
    """What is amiss between a floor and the beams over it."""
    full, top = heights.full, heights.top.head
    if full.head < 4:
        yield f"full.head: {full.head} is too low for a beam over a door and a band over that; try 4"
    if full.head > 5:
        yield f"full.head: {full.head} hangs lamps too high for the floors of small rooms; try 5"
    if full.tie < 2:
        yield f"full.tie: nobody walks upright below {full.tie}; try 2"
    if full.tie > full.head - 2:
        yield (
            f"full.tie: {full.tie} leaves no band, nor a porch, below the head, {full.head}; "
            f"try {full.head - 2}"
        )
    if top < 1:
        yield f"top.head: {top} leaves no wall for a window under the roof; try 1"
    if top > 5:
        yield f"top.head: {top} hangs lamps too high for rooms under the roof; try 5"


def _of_bays(bays: BayRule) -> Iterator[str]:
    """What is amiss between the clear gaps, the spans that they cut, and the flight that climbs in one."""
    least, most = min(bays.gaps), max(bays.gaps)
    if sorted(bays.gaps) != [*range(least, most + 1)]:
        yield f"gaps: {[*bays.gaps]} leaves some out; give every number from {least} to {most}"
    if least == most:
        more = most + 1 if most < 9 else most - 1
        yield f"gaps: with {least} alone walls fit hardly any plot; add {more}"
    if most < WELL:
        yield f"gaps: no stair fits {[*bays.gaps]}, it needs {WELL} cells; add {most + 1}"
    if sorted({*bays.spans}) != [*bays.spans]:
        yield f"spans: {[*bays.spans]} does not go from the narrowest to the widest"
    fits = [
        n for n in range(4, 15, 2) if n - 1 in bays.gaps or (n > most and n // 2 - 1 in bays.gaps)
    ]
    for span in bays.spans:
        if span not in fits:
            yield f"spans: {span} is neither one of bays.gaps nor two of them wide; try {fits}"


def _of_roof(roof: RoofRule, margin: int) -> Iterator[str]:
    """What is amiss between a roof and the plot, and in what is drawn."""
    for key in ("outside", "verge"):
        if getattr(roof, key) > margin:
            yield f"{key}: {getattr(roof, key)} courses reach over the plot's edge; bays.margin is {margin}"
    for key in ("two_tier", "swept", "dormers", "high_hall"):
        some, all_ = getattr(roof, key)
        if some > all_:
            yield f"{key}: {some} of {all_} is more than always; try {[all_, all_]}"
    names = [profile.name for profile in roof.profiles]
    for profile in roof.profiles:
        over, under = profile.rise if profile.kind == "curve" else (profile.sun, 20)
        if names.count(profile.name) > 1:
            yield f"profiles: {profile.name!r} stands twice"
        if not FLATTEST * under <= 20 * over <= STEEPEST * under:
            yield (
                f"profiles: {profile.name!r} does not rise {FLATTEST} to {STEEPEST} in ten of run, "
                "as light and heads below ask"
            )


def _drawn(name: str, fitting: Fitting) -> Iterator[str]:
    """What is amiss in how a fitting is drawn."""
    if fitting.smaller == name:
        yield f"smaller: it names the fitting itself, {name!r}; leave it out"
    width, depth = fitting.size
    for n, layer in enumerate(fitting.layers):
        rows = layer.split()
        if len(rows) != depth or {*map(len, rows)} != {width}:
            yield f"layers[{n}]: {layer!r} is not {width} x {depth}, as layers[0] is"
        for letter in sorted({*"".join(rows)} - {"."} - dict(fitting.key).keys()):
            yield f"key: {letter!r} stands in layers[{n}], and no role and form for it here"
    at = {(x, y, z) for x, y, z, _, _ in fitting.pieces}  # drawn as it should be, or refused above
    for x, y, z in sorted(at):
        if z and (x, y, z - 1) not in at:
            yield f"layers[{z}]: in column {x + 1} of row {depth - y} it has nothing below it"


def _of_kind(kind: Kind) -> Iterator[str]:
    for key in ("light", "area"):
        values = getattr(kind, key)
        if sorted(values) != [*values] or values[0] < 0:
            yield f"{key}: {list(values)} does not go from the least to the most"
