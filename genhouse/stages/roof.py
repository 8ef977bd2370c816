"""Roof: one prism a wing, joined by their upper envelope.

The valley between two wings is wherever the envelope passes from one prism to the other; nothing
else decides it.  Of the few roofs that the seed draws, the calmest is built.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from genhouse.core.box import Rect
from genhouse.core.draw import Draw
from genhouse.model.brief import RoofWish
from genhouse.model.part import Part
from genhouse.model.roof import RIDGED, Cover
from genhouse.model.room import Segment
from genhouse.stages._wings import Wing
from genhouse.stages.bays import Bays
from genhouse.stages.roofs import raised
from genhouse.stages.roofs.calm import unrest
from genhouse.stages.roofs.ends import Style, Styles, hipped_ends, overhangs
from genhouse.stages.roofs.prisms import wing_field
from genhouse.stages.roofs.roles import ROLES, Roles, indoors, roles_of
from genhouse.stages.roofs.slopes import NONE, Field, closed_on, half, join, shell
from genhouse.stages.roofs.styles import styles
from genhouse.stages.roofs.swept import swept_corners
from genhouse.stages.roofs.timbers import clearance, seated, timbers
from genhouse.stages.rooms import Rooms
from genhouse.stages.site import Site
from genhouse.traditions.loader import RoofRule, Tradition

Cell = tuple[int, int, int]
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
    dormers: the ground of each and its window.  eaves: z of the lowest layer over the highest wings.
    chimney: z of the first layer above the flue.  height: layers that the house needs.
    """

    covers: tuple[Cover, ...]
    styles: tuple[tuple[Wing, Style], ...]
    top: Field
    under: Field
    clear: npt.NDArray[np.int16]
    timbers: tuple[Part, ...]
    main: tuple[Field, Field]
    role: npt.NDArray[np.uint8]
    ridges: npt.NDArray[np.uint8]
    tier: raised.Tier | None
    dormers: tuple[tuple[Rect, Cell], ...]
    eaves: int
    chimney: int
    height: int

    @property
    def posts(self) -> tuple[tuple[int, int], ...]:
        """Where roof posts stand on the upper floor."""
        return tuple((p.box.x0, p.box.y0) for p in self.timbers if p.role == "roof-post")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Sketch:
    """One way to roof the house, before anything is let into it.

    high: half cells whose roof belongs to the highest wings.  unrest: what ``roofs/calm`` counts.
    """

    styles: Styles
    top: Field
    high: Bool
    roles: Roles
    unrest: int


def plan_roof(
    site: Site, bays: Bays, rooms: Rooms, tradition: Tradition, wish: RoofWish, draw: Draw
) -> Roof:
    """Grow the roof over the wings."""
    rule, flue = tradition.roof, rooms.hearth.cell
    rising = rooms.rising
    walled = _walled(site.plot, rising)
    inside = indoors(site) | walled
    best = _calmest(
        _sketch(site, chosen, rule, inside, flue)
        for chosen in styles(site, flue, tradition, wish, draw)
    )
    swept = draw.chance(*rule.swept, "swept") if wish.swept is None else wish.swept
    top = swept_corners(site, best.top, best.styles) if swept else best.top
    top, dormers = _dormered(site, bays, rooms, best, top, rule, wish, draw)
    tier = _tiered(site, best.styles, flue, rule, walled)
    lower = top if tier is None else raised.without_hole(top, tier)
    if tier is not None:
        _without_stubs(best.roles, tier.hole)
    under = _underside(lower, best, inside)
    flat = best.roles.role == ROLES.index("deck")
    under = closed_on(under, walled | flat)
    under = _over_walls(under, rising, tradition)
    over, low = (top, under) if tier is None else (np.maximum(lower, tier.top), _below(under, tier))
    beams = timbers(site, bays, rooms, best.styles, low, walled, tradition)
    under = seated(under, beams)
    low = under if tier is None else seated(low, beams)
    clear = clearance(low, beams)
    chimney = _chimney_top(np.maximum(over, _decks(site, best.styles)), flue)
    for array in (over, low, lower, under, clear, best.roles.role, best.roles.ridges):
        array.flags.writeable = False
    return Roof(
        covers=tuple(_cover(site, wing, best.styles, rule) for wing in best.styles),
        styles=tuple(best.styles.items()),
        top=over,
        under=low,
        clear=clear,
        timbers=beams,
        main=(lower, under),
        role=best.roles.role,
        ridges=best.roles.ridges,
        tier=tier,
        dormers=dormers,
        eaves=int(low[best.high & (low != NONE)].min()) // 2,
        chimney=chimney,
        height=max(chimney + 1, -(-int(over.max()) // 2) + 2) + 1,
    )


def _calmest(sketches: Iterable[_Sketch]) -> _Sketch:
    """The first that is calm enough, else the calmest of all, of equals the first."""
    seen: list[_Sketch] = []
    for sketch in sketches:
        seen.append(sketch)
        if sketch.unrest <= CALM:
            break
    return min(seen, key=lambda sketch: sketch.unrest)


def _sketch(
    site: Site,
    chosen: Styles,
    rule: RoofRule,
    inside: Bool,
    flue: tuple[int, int],
) -> _Sketch:
    fields = {wing: wing_field(site, wing, chosen, rule) for wing in site.wings if not wing.terrace}
    top = join(list(fields.values()))
    roles = roles_of(site, top, fields, chosen, rule)
    most = max(wing.storeys for wing in fields)
    return _Sketch(
        styles=chosen,
        top=top,
        high=join([field for wing, field in fields.items() if wing.storeys == most]) == top,
        roles=roles,
        unrest=unrest(top, roles.ridges, inside, flue),
    )


def _dormered(
    site: Site,
    bays: Bays,
    rooms: Rooms,
    sketch: _Sketch,
    top: Field,
    rule: RoofRule,
    wish: RoofWish,
    draw: Draw,
) -> tuple[Field, tuple[tuple[Rect, Cell], ...]]:
    """Dormers on one outer slope, spread over its bays; as many as the brief asks or the seed draws."""
    drawn = 1 + draw.below(2, "dormers") if draw.chance(*rule.dormers, "dormer") else 0
    wanted = drawn if wish.dormers is None else wish.dormers
    if not wanted or max(s.level for s in rooms.segments) < 2:
        return top, ()
    places = [
        (place, facing, style)
        for wing, style in sketch.styles.items()
        if style.form in RIDGED and style.form != "two-tier" and wing.storeys == 2
        for place, facing in raised.dormer_places(site, wing, style, top, bays.xs)
        if not place.grown(1).has(*rooms.hearth.cell)
    ]
    found: list[tuple[Rect, Cell]] = []
    for n in range(min(wanted, len(places))):
        place, facing, style = places[(2 * n + 1) * len(places) // (2 * min(wanted, len(places)))]
        if not any(place.grown(1).meet(other).area for other, _ in found):
            top = raised.with_dormer(top, place, style)
            found.append((place, raised.dormer_window(place, facing, style)))
    return top, tuple(found)


def _tiered(
    site: Site, chosen: Styles, flue: tuple[int, int], rule: RoofRule, walled: Bool
) -> raised.Tier | None:
    for wing, style in chosen.items():
        place = raised.tier_place(site, wing, flue) if style.form == "two-tier" else None
        if place is not None:
            return raised.raised_tier(site, place, style, rule, walled)
    return None


def _without_stubs(roles: Roles, hole: Rect) -> None:
    """No ridge is left beside a raised tier where what remains is a cell long."""
    row = (hole.y0 + hole.y1) // 2
    on_ridge = roles.ridges[:, row] == 1
    for x, beyond in ((hole.x0 - 1, hole.x0 - 2), (hole.x1, hole.x1 + 1)):
        if on_ridge[x] and not on_ridge[beyond]:
            roles.ridges[x, row] = roles.role[x, row] = 0


def _below(under: Field, tier: raised.Tier) -> Field:
    """The lowest underside: in the hole the tier's roof, and the foot of its walls."""
    lowest = np.where(under == NONE, tier.under, under)
    for x, y in tier.walls:
        near = under[2 * x - 1 : 2 * x + 3, 2 * y - 1 : 2 * y + 3]
        foot = int(near[near != NONE].min())
        lowest[2 * x : 2 * x + 2, 2 * y : 2 * y + 2] = foot - foot % 2
    return lowest.astype(np.int16)


def _underside(top: Field, sketch: _Sketch, inside: Bool) -> Field:
    """The shell's, over the wings, at the verges and at the eaves each on its own, high and low.

    Past the edge of one part a wall or the open air is below, nothing to close.
    """
    within = half(inside)
    verge = half(sketch.roles.role == ROLES.index("verge")) & ~within
    parts = [within]
    for edge in (verge, ~within & ~verge):
        parts += [edge] if sketch.high.all() else [edge & sketch.high, edge & ~sketch.high]
    return np.asarray(shell(np.where(np.stack(parts), top, np.int16(NONE))).max(axis=0))


def _over_walls(under: Field, rising: tuple[Segment, ...], tradition: Tradition) -> Field:
    """The underside no lower than the plate of an upper wall, where a lower roof leans on some."""
    if not any(s.abuts for s in rising):
        return under
    low = under.copy()
    for x, y in {c for s in rising if s.level == 2 for c in (*s.ends, *s.cells.cells())}:
        column = low[2 * x : 2 * x + 2, 2 * y : 2 * y + 2]
        np.maximum(column, 2 * (tradition.levels.plate + 1), out=column, where=column != NONE)
    return low


def _walled(plot: tuple[int, int], rising: tuple[Segment, ...]) -> Bool:
    """The cells under which a wall of the upper storey rises to the roof."""
    walls = np.zeros(plot, dtype=bool)
    for s in rising:
        walls[s.cells.x0 : s.cells.x1, s.cells.y0 : s.cells.y1] = True
    for x, y in line_ends(rising):
        walls[x, y] = True
    return walls


def _decks(site: Site, chosen: Styles) -> Field:
    """The heads of people on the terraces, half cells: smoke goes over them."""
    tops = np.full((2 * site.plot[0], 2 * site.plot[1]), NONE, dtype=np.int16)
    for r, base in ((w.rect, style.base) for w, style in chosen.items() if w.terrace):
        tops[2 * r.x0 : 2 * r.x1, 2 * r.y0 : 2 * r.y1] = base + HEAD
    return tops


def _chimney_top(top: Field, cell: tuple[int, int]) -> int:
    """The layer above the flue: a cell above the roof there and above anything within three cells.

    IRC 2018 R1003.9 asks 3 ft above the roof where the chimney passes through it and 2 ft above any
    part of the building within 10 ft; a cell stands for a metre.
    """
    x, y = cell
    near = top[max(0, 2 * (x - 3)) : 2 * (x + 4), max(0, 2 * (y - 3)) : 2 * (y + 4)]
    return -(-int(near.max()) // 2) + 1


def _cover(site: Site, wing: Wing, chosen: Styles, rule: RoofRule) -> Cover:
    style = chosen[wing]
    return Cover(
        wing=wing.name,
        rect=wing.rect,
        axis=wing.axis,
        storeys=wing.storeys,
        form=style.form,
        profile=style.profile.name,
        base=style.base,
        eaves=overhangs(site, wing, rule),
        gentle=rule.gentle,
        courses=style.exact,
        sun=_sun(style),
        hips=sum(hipped_ends(site, wing, chosen)),
    )


def _sun(style: Style) -> int | None:
    """Rise in ten of run, where the pitch is straight and that is a whole number."""
    pitch = 5 * style.exact[1]
    straight = style.profile.kind == "straight" and pitch.denominator == 1
    return int(pitch) if straight else None


def line_ends(rising: tuple[Segment, ...]) -> tuple[tuple[int, int], ...]:
    """Post places at the ends of wall segments, each once."""
    return tuple(dict.fromkeys(end for s in rising for end in s.ends))
