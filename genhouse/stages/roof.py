"""Roof: one prism a wing, joined by their upper envelope.

The valley between two wings is wherever the envelope passes from one prism to the other; nothing
else decides it.  Of the few roofs that the seed draws, the calmest is built.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from genhouse.core.box import Rect
from genhouse.core.draw import Draw
from genhouse.core.errors import InfeasibleError
from genhouse.model.brief import RoofWish
from genhouse.model.part import Part
from genhouse.model.roof import RIDGED, Cover
from genhouse.stages._wings import Wing
from genhouse.stages.bays import Bays
from genhouse.stages.roofs import raised
from genhouse.stages.roofs.asked import unmet
from genhouse.stages.roofs.calm import unrest
from genhouse.stages.roofs.ends import Style, Styles, hipped_ends, overhangs
from genhouse.stages.roofs.prisms import wing_field
from genhouse.stages.roofs.roles import ROLES, Marks, indoors, ridges_of, roles_of
from genhouse.stages.roofs.slopes import NONE, Field, closed_on, join
from genhouse.stages.roofs.styles import TRIES, styles
from genhouse.stages.roofs.swept import swept_corners
from genhouse.stages.roofs.timbers import clearance, seated, timbers
from genhouse.stages.roofs.undersides import below, over_walls, underside, walls
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
    dormers: the ground of each and its window.  swept: whether corners are lifted.
    eaves: z of the lowest layer over the highest wings.
    chimney: z of the first layer above the flue.  height: layers that the house needs.
    """

    covers: tuple[Cover, ...]
    styles: tuple[tuple[Wing, Style], ...]
    top: Field
    under: Field
    clear: npt.NDArray[np.int16]
    timbers: tuple[Part, ...]
    main: tuple[Field, Field]
    role: Marks
    ridges: Marks
    tier: raised.Tier | None
    dormers: tuple[tuple[Rect, Cell], ...]
    swept: bool
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
    rule, flue = tradition.roof, rooms.hearth.cell
    rising = rooms.rising
    walled = walls(site.plot, rising)
    inside = indoors(site) | walled
    sketches = (
        _sketch(site, chosen, rule, inside, flue)
        for chosen in styles(site, flue, tradition, wish, draw)
    )
    best = _calmest(sketches, lambda sketch: _unmet(site, bays, rooms, sketch, wish))
    ridges, high = best.ridges, _high(site, best.fields, best.top)
    role = roles_of(site, best.top, best.fields, ridges, best.styles)
    swept = draw.chance(*rule.swept, "swept") if wish.swept is None else wish.swept
    top = swept_corners(site, best.top, best.styles) if swept else best.top
    lifted = bool((top != best.top).any())
    top, dormers = _dormered(site, bays, rooms, best, top, rule, wish, draw)
    tier = _tiered(site, best.styles, flue, rule, walled)
    lower = top if tier is None else raised.without_hole(top, tier)
    if tier is not None:
        _without_stubs(role, ridges, tier.hole)
    under = underside(lower, high, inside, role == ROLES.index("verge"))
    under = closed_on(under, walled | (role == ROLES.index("deck")))
    under = over_walls(under, rising, tradition.storeys[-1].head)
    over, low = (top, under) if tier is None else (np.maximum(lower, tier.top), below(under, tier))
    beams = timbers(site, bays, rooms, best.styles, low, walled, tradition)
    under = seated(under, beams)
    low = under if tier is None else seated(low, beams)
    clear = clearance(low, beams)
    chimney = _chimney_top(_with_people(over, best.styles), flue)
    for array in (over, low, lower, under, clear, role, ridges):
        array.flags.writeable = False
    return Roof(
        covers=tuple(_cover(site, wing, best.styles, rule) for wing in best.styles),
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
        eaves=int(low[high & (low != NONE)].min()) // 2,
        chimney=chimney,
        height=max(chimney + 1, -(-int(over.max()) // 2) + 2) + 1,
    )


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
    site: Site, bays: Bays, rooms: Rooms, sketch: _Sketch, wish: RoofWish
) -> tuple[str, ...]:
    """What a client asks of the roof that this one cannot have."""
    if wish == RoofWish():
        return ()
    top = swept_corners(site, sketch.top, sketch.styles) if wish.swept else sketch.top
    lifted = bool((top != sketch.top).any())
    room = len(_dormer_places(site, bays, rooms, sketch, top)) if wish.dormers else 0
    return tuple(unmet(sketch.styles, lifted, room, wish))


def _sketch(
    site: Site,
    chosen: Styles,
    rule: RoofRule,
    inside: Bool,
    flue: tuple[int, int],
) -> _Sketch:
    fields = np.array([wing_field(site, wing, chosen, rule) for wing in site.roofed])
    top = join(fields)
    ridges = ridges_of(site, top, fields, chosen)
    return _Sketch(
        styles=chosen,
        fields=fields,
        top=top,
        ridges=ridges,
        unrest=unrest(top, ridges, inside, flue),
    )


def _high(site: Site, fields: Field, top: Field) -> Bool:
    """Half cells whose roof belongs to the highest wings."""
    storeys = [wing.storeys for wing in site.roofed]
    if len(set(storeys)) == 1:
        return np.ones(top.shape, dtype=bool)
    return np.asarray(join(fields[[n == max(storeys) for n in storeys]]) == top)


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
    """Dormers on outer slopes, spread over their bays; as many as the brief asks or the seed draws."""
    drawn = 1 + draw.below(2, "dormers") if draw.chance(*rule.dormers, "dormer") else 0
    wanted = drawn if wish.dormers is None else wish.dormers
    places = _dormer_places(site, bays, rooms, sketch, top) if wanted else []
    found: list[tuple[Rect, Cell]] = []
    for n in range(min(wanted, len(places))):
        place, facing, style = places[(2 * n + 1) * len(places) // (2 * min(wanted, len(places)))]
        top = raised.with_dormer(top, place, style)
        found.append((place, raised.dormer_window(place, facing, style)))
    return top, tuple(found)


def _dormer_places(
    site: Site, bays: Bays, rooms: Rooms, sketch: _Sketch, top: Field
) -> list[tuple[Rect, int, Style]]:
    """Where dormers can stand clear of each other and of the flue: ground, way it faces, slope."""
    if max(s.level for s in rooms.segments) < 2:
        return []
    found: list[tuple[Rect, int, Style]] = []
    for wing, style in sketch.styles.items():
        if style.form in RIDGED and style.form != "two-tier" and wing.storeys == 2:
            for place, facing in raised.dormer_places(
                site, wing, style, top, bays.along[site.wings.index(wing)]
            ):
                near = place.grown(1)
                if not near.has(*rooms.hearth.cell) and not any(near.meets(r) for r, *_ in found):
                    found.append((place, facing, style))
    return found


def _tiered(
    site: Site, chosen: Styles, flue: tuple[int, int], rule: RoofRule, walled: Bool
) -> raised.Tier | None:
    for wing, style in chosen.items():
        place = raised.tier_place(site, wing, flue) if style.form == "two-tier" else None
        if place is not None:
            return raised.raised_tier(site, place, style, rule, walled)
    return None


def _without_stubs(role: Marks, ridges: Marks, hole: Rect) -> None:
    """No ridge is left beside a raised tier where what remains is a cell long."""
    row = (hole.y0 + hole.y1) // 2
    on_ridge = ridges[:, row] == 1
    for x, beyond in ((hole.x0 - 1, hole.x0 - 2), (hole.x1, hole.x1 + 1)):
        if on_ridge[x] and not on_ridge[beyond]:
            ridges[x, row] = role[x, row] = 0


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
    if style.profile.kind != "straight":
        return None
    pitch = 5 * style.exact[1]
    return int(pitch) if pitch.denominator == 1 else None
