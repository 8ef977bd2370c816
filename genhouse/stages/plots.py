"""Plots: how large one is, and its outline where it is no rectangle."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import islice

from msgspec.structs import replace

from genhouse.core.axes import SIDES, Side, Turn
from genhouse.core.draw import Draw
from genhouse.core.errors import InfeasibleError
from genhouse.core.region import Region, rectangle
from genhouse.model.bounds import LARGEST_PLOT, SMALLEST_PLOT
from genhouse.model.brief import Brief
from genhouse.model.shapes import SHAPES, can_be, region, roomy
from genhouse.stages.site import Site
from genhouse.traditions.plan import PlanRule

MORE = (8, 14)
"""Cells by which a plot that the seed chooses is wider for what is cut from it."""
CUTS = 4
"""Ways to cut a shape that are tried."""


def plots(brief: Brief, plan: PlanRule, draw: Draw) -> Iterator[Site]:
    """Bare sites: one, or where the seed has a choice several, those first that it likes best.

    Of an outline given by its corners there is one a side for the gate; of a shape, one a way to cut it.
    Raises InfeasibleError where a shape cannot be cut from the plot.
    """
    free = free_sides(brief)
    weights = [dict(plan.gates).get(side, 0) for side in free]
    drawn = draw.choice(free, "gate side", weights if any(weights) else None)
    side = brief.gate if brief.gate is not None else drawn
    ground, shape = brief.land, brief.outline
    land = ground or rectangle(_size(brief, plan, draw))
    bare = bare_site(land, side, brief)
    if isinstance(shape, str):
        cuts = draw.shuffled(list(SHAPES[shape](bare.plot)), "cuts")
        grounds = (region(bare.plot, cut) for cut in cuts)
        for outline in islice(filter(roomy, grounds), CUTS):
            yield replace(bare, outline=outline)
    elif ground is None or ground.whole:
        yield bare
    else:
        others = draw.shuffled([s for s in SIDES if s != side], "other gate sides")
        for gate in (side, *(others if brief.gate is None else ())):
            yield bare_site(land, gate, brief)


def free_sides(brief: Brief) -> tuple[Side, ...]:
    """The sides from which a visitor could come."""
    return tuple(side for side in SIDES if side not in brief.sides.party)


def bare_site(land: Region, side: Side, brief: Brief) -> Site:
    """Some ground without a house on it, in a frame of its own, with its gate to a side of that."""
    size = (land.bounds.x1, land.bounds.y1)
    quarters = (SIDES.index(side) - SIDES.index("south")) % 4
    plot = (size[1], size[0]) if quarters % 2 else size
    turn = Turn(*plot, quarters, brief.mirror)
    party = tuple(own for own in SIDES if turn.side(own) in brief.sides.party)
    outline = None if land.whole else land.turned(turn.inverse)
    bare = Site(plot=plot, turn=turn, gate_side=side, wings=(), courts=(), party=party)
    return replace(bare, outline=outline)


def _size(brief: Brief, plan: PlanRule, draw: Draw) -> tuple[int, int]:
    """A plot as a client would bring it; larger, where a shape is cut from it."""
    (x0, y0), (x1, y1) = brief.plot_least or SMALLEST_PLOT, brief.plot_most or LARGEST_PLOT
    if brief.plot_least is not None or brief.plot_most is not None:
        width, depth = draw.between(x0, x1, "plot width"), draw.between(y0, y1, "plot depth")
    else:
        width = draw.between(*plan.width, "plot width") + draw.below(
            plan.wider + 1, "plot width more"
        )
        depth = min(y1, max(y0, width * draw.between(*plan.shares(width), "plot depth") // 100))
    if isinstance(brief.outline, str):
        if brief.plot_least is None and brief.plot_most is None:
            width = min(x1, width + draw.between(*MORE, "plot width for a shape"))
        while not can_be(brief.outline, (width, depth)):
            if (width, depth) == (x1, y1):
                raise InfeasibleError(
                    f"outline: no {brief.outline} plot of {x1} x {y1} cells has room for a house",
                    stage="site",
                )
            width, depth = min(width + 1, x1), min(depth + 1, y1)
    return width, depth
