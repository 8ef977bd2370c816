"""Roof: one prism a wing, joined by their upper envelope.

The valley between two wings is wherever the envelope passes from one prism to the other; nothing
else decides it.  Of the few roofs that the seed draws, the calmest is built.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from genhouse.core.draw import Draw
from genhouse.core.errors import InfeasibleError
from genhouse.model.brief import RoofWish
from genhouse.model.elements import Member
from genhouse.model.roof import RIDGED, Cover
from genhouse.stages._verandas import outer_cells
from genhouse.stages._wings import Wing
from genhouse.stages.bays import Bays
from genhouse.stages.roofs import raised
from genhouse.stages.roofs.asked import unmet
from genhouse.stages.roofs.calm import unrest
from genhouse.stages.roofs.ends import Joints, Style, Styles, hipped_ends, joints_of, overhangs
from genhouse.stages.roofs.prisms import indoors, wing_fields
from genhouse.stages.roofs.roles import ROLES, Marks, ridges_of, roles_of
from genhouse.stages.roofs.slopes import NONE, Field, closed_on, join, lain
from genhouse.stages.roofs.styles import TRIES, styles
from genhouse.stages.roofs.swept import swept_corners
from genhouse.stages.roofs.timbers import clearance, seated, timbers
from genhouse.stages.roofs.undersides import below, over_walls, underside, walls
from genhouse.stages.rooms import Rooms
from genhouse.stages.site import Site
from genhouse.traditions.roofs import RoofRule
from genhouse.traditions.tradition import Tradition

Bool = npt.NDArray[np.bool_]
CALM = 2
"""Unrest of a roof with which one looks no further."""
HEAD = 4
"""Half cells that a person on a terrace is tall, at most."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Roof:
    """covers: the roof of each wing.  top, under: int16 [2 X, 2 Y], half cells, read-only; the surface
    that rain meets, and the lowest underside.  main: top and underside of the lower roof alone.
    role, ridges: by column, see ``roofs/roles``.  tier: the raised tier, where there is one.
    swept: whether corners are lifted.
    eaves: z of the lowest layer over the highest wings.
    chimney: z of the first layer above the flue.  height: layers that the house needs.
    """

    covers: tuple[Cover, ...]
    styles: tuple[tuple[Wing, Style], ...]
    top: Field
    under: Field
    clear: npt.NDArray[np.int16]
    timbers: tuple[Member, ...]
    main: tuple[Field, Field]
    role: Marks
    ridges: Marks
    tier: raised.Tier | None
    dormers: tuple[raised.Dormer, ...]
    swept: bool
    eaves: int
    chimney: int
    height: int

    @property
    def posts(self) -> tuple[tuple[int, int], ...]:
        """Where roof posts stand on the upper floor."""
        return tuple((p.box.x0, p.box.y0) for p in self.timbers if p.use == "roof post")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Sketch:
    """One way to roof the house, before anything is let into it.

    fields: the roof of each wing that is no terrace, [n, 2 X, 2 Y].  ridges: see ``roofs/roles``.
    unrest: what ``roofs/calm`` counts.
    """

    styles: Styles
    fields: Field
    top: Field
    ridges: Marks
    unrest: int


def plan_roof(
    site: Site, bays: Bays, rooms: Rooms, tradition: Tradition, wish: RoofWish, draw: Draw
) -> Roof:
    """Grow the roof over the wings.  Raises InfeasibleError where it cannot be as a client asks."""
    rule, flue = tradition.roof, rooms.shaft
    rising, joints = rooms.rising, joints_of(site)
    walled = walls(site.plot, rising)
    inside = indoors(site) | walled
    sketches = (
        _sketch(joints, chosen, rule, inside, flue)
        for chosen in styles(joints, flue, tradition, wish, draw)
    )
    best = _calmest(sketches, lambda sketch: _unmet(joints, bays, rooms, sketch, wish))
    ridges, storeys = best.ridges, _storeys(site, best.fields, best.top)
    role = roles_of(joints, best.top, best.fields, ridges, best.styles)
    swept = draw.chance(*rule.swept, "swept") if wish.swept is None else wish.swept
    top = swept_corners(joints, best.top, best.fields, best.styles) if swept else best.top
    lifted = bool((top != best.top).any())
    top, dormers = _dormered(joints, bays, rooms, best, top, rule, wish, draw)
    tier = _tiered(joints, best.styles, flue, rule, walled)
    lower = top if tier is None else raised.without_hole(top, tier)
    if tier is not None:
        _without_stubs(role, ridges, tier)
    under = underside(lower, storeys, inside, role == ROLES.index("verge"))
    under = closed_on(under, walled | (role == ROLES.index("deck")) | _carried(site, tradition))
    under = over_walls(under, rising)
    over, low = (top, under) if tier is None else (np.maximum(lower, tier.top), below(under, tier))
    beams = timbers(joints, bays, rooms, best.styles, low, walled, tradition)
    under = seated(under, beams)
    low = under if tier is None else seated(low, beams)
    clear = clearance(low, beams)
    chimney = _chimney_top(_with_people(over, best.styles), flue)
    for array in (over, low, lower, under, clear, role, ridges):
        array.flags.writeable = False
    return Roof(
        covers=tuple(_cover(joints, wing, best.styles, rule) for wing in best.styles),
        styles=tuple(best.styles.items()),
        top=over,
        under=low,
        clear=clear,
        timbers=beams,
        main=(lower, under),
        role=role,
        ridges=ridges,
        tier=tier,
        dormers=dormers,
        swept=lifted,
        eaves=int(low[(storeys == storeys.max()) & (low != NONE)].min()) // 2,
        chimney=chimney,
        height=max(chimney + 1, -(-int(over.max()) // 2) + 2) + 1,
    )


def _carried(site: Site, tradition: Tradition) -> Bool:
    """Where a beam from column to column carries the eaves."""
    cells = np.zeros(site.plot, dtype=bool)
    for cell in outer_cells(site) if tradition.arcade else ():
        cells[cell] = True
    return cells


def _calmest(sketches: Iterable[_Sketch], unmet: Callable[[_Sketch], Sequence[str]]) -> _Sketch:
    """Of those that leave nothing unmet the first that is calm enough, else the calmest.

    Raises InfeasibleError where there is none.
    """
    seen: list[_Sketch] = []
    wanting: Sequence[str] = ()
    for sketch in sketches:
        if lacks := unmet(sketch):
            wanting = wanting or lacks
            continue
        seen.append(sketch)
        if sketch.unrest <= CALM or len(seen) == TRIES:
            break
    if not seen:
        raise InfeasibleError("; ".join(wanting), stage="roof")
    return min(seen, key=lambda sketch: sketch.unrest)


def _unmet(
    joints: Joints, bays: Bays, rooms: Rooms, sketch: _Sketch, wish: RoofWish
) -> tuple[str, ...]:
    """What a client asks of the roof that this one cannot have."""
    if wish == RoofWish():
        return ()
    top = (
        swept_corners(joints, sketch.top, sketch.fields, sketch.styles)
        if wish.swept
        else sketch.top
    )
    lifted = bool((top != sketch.top).any())
    room = len(_dormer_places(joints, bays, rooms, sketch, top)) if wish.dormers else 0
    return tuple(unmet(sketch.styles, lifted, room, wish))


def _sketch(
    joints: Joints,
    chosen: Styles,
    rule: RoofRule,
    inside: Bool,
    flue: tuple[int, int],
) -> _Sketch:
    fields = wing_fields(joints, chosen, rule)
    top = join(fields)
    ridges = ridges_of(joints, top, fields, chosen)
    return _Sketch(
        styles=chosen,
        fields=fields,
        top=top,
        ridges=ridges,
        unrest=unrest(top, ridges, inside, flue),
    )


def _storeys(site: Site, fields: Field, top: Field) -> Field:
    """The storeys of the wing that the roof of each half cell belongs to, of several the highest."""
    counts = np.array([wing.storeys for wing in site.roofed], dtype=np.int16)
    return np.asarray(np.where(fields == top, counts[:, None, None], 0).max(axis=0))


def _dormered(
    joints: Joints,
    bays: Bays,
    rooms: Rooms,
    sketch: _Sketch,
    top: Field,
    rule: RoofRule,
    wish: RoofWish,
    draw: Draw,
) -> tuple[Field, tuple[raised.Dormer, ...]]:
    """Dormers on outer slopes, spread over their bays; as many as the brief asks or the seed draws."""
    drawn = 1 + draw.below(2, "dormers") if draw.chance(*rule.dormers, "dormer") else 0
    wanted = drawn if wish.dormers is None else wish.dormers
    places = _dormer_places(joints, bays, rooms, sketch, top) if wanted else []
    few = min(wanted, len(places))
    found = tuple(places[(2 * n + 1) * len(places) // (2 * few)] for n in range(few))
    for dormer in found:
        top = dormer.let_into(top)
    return top, found


def _dormer_places(
    joints: Joints, bays: Bays, rooms: Rooms, sketch: _Sketch, top: Field
) -> list[raised.Dormer]:
    """Where dormers can stand clear of each other and of the flue, over rooms that are open to the roof."""
    open_to = {room.level for room in rooms.lofty}
    found: list[raised.Dormer] = []
    for n, (wing, style) in enumerate(sketch.styles.items()):
        if style.form in RIDGED and style.form != "two-tier" and wing.storeys in open_to:
            for place in raised.dormer_places(joints, wing, style, top, bays.along[n]):
                near = place.ground.grown(1)
                if not near.has(*rooms.shaft) and not any(
                    near.meets(other.ground) for other in found
                ):
                    found.append(place)
    return found


def _tiered(
    joints: Joints, chosen: Styles, flue: tuple[int, int], rule: RoofRule, walled: Bool
) -> raised.Tier | None:
    for wing, style in chosen.items():
        place = raised.tier_place(joints, wing, flue) if style.form == "two-tier" else None
        if place is not None:
            return raised.raised_tier(joints.site.plot, place, wing.axis, style, rule, walled)
    return None


def _without_stubs(role: Marks, ridges: Marks, tier: raised.Tier) -> None:
    """No ridge is left beside a raised tier where what remains is a cell long."""
    hole = tier.hole.lie(tier.axis)
    row = (hole.y0 + hole.y1) // 2
    ridge, roles = (lain(marks, tier.axis)[:, row] for marks in (ridges, role))
    for x, beyond in ((hole.x0 - 1, hole.x0 - 2), (hole.x1, hole.x1 + 1)):
        if ridge[x] and not ridge[beyond]:
            ridge[x] = roles[x] = 0


def _with_people(top: Field, chosen: Styles) -> Field:
    """The roof, and the heads of people on its terraces: smoke goes over them."""
    tops = top.copy()
    for r, base in ((w.rect, style.base) for w, style in chosen.items() if w.terrace):
        terrace = tops[2 * r.x0 : 2 * r.x1, 2 * r.y0 : 2 * r.y1]
        np.maximum(terrace, base + HEAD, out=terrace)
    return tops


def _chimney_top(top: Field, cell: tuple[int, int]) -> int:
    """The layer above the flue: a cell above the roof there and above anything within three cells.

    IRC 2018 R1003.9 asks 3 ft above the roof where the chimney passes through it and 2 ft above any
    part of the building within 10 ft; a cell stands for a metre.
    """
    x, y = cell
    near = top[max(0, 2 * (x - 3)) : 2 * (x + 4), max(0, 2 * (y - 3)) : 2 * (y + 4)]
    return -(-int(near.max()) // 2) + 1


def _cover(joints: Joints, wing: Wing, chosen: Styles, rule: RoofRule) -> Cover:
    style = chosen[wing]
    return Cover(
        wing=wing.name,
        rect=joints.lies[wing].lie(wing.axis),
        axis=wing.axis,
        storeys=wing.storeys,
        form=style.form,
        profile=style.profile.name,
        base=style.base,
        eaves=overhangs(joints, wing, rule),
        gentle=rule.gentle,
        courses=style.exact,
        sun=_sun(style),
        hips=sum(hipped_ends(joints, wing, chosen)),
    )


def _sun(style: Style) -> int | None:
    """Rise in ten of run, where the pitch is straight and that is a whole number."""
    if style.profile.kind != "straight":
        return None
    pitch = 5 * style.exact[1]
    return int(pitch) if pitch.denominator == 1 else None
