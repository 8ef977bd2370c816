"""The house in numbers."""

from __future__ import annotations

from collections.abc import Sequence

from genhouse.core.spoken import some
from genhouse.model.design import Design
from genhouse.model.room import COURTS
from genhouse.outputs.setting_out import heights, house_rect
from genhouse.outputs.steps.reach import Reach, places
from genhouse.outputs.steps.steps import Steps
from genhouse.outputs.storeys import storeys


def figures(design: Design, steps: Steps, reach: Sequence[Reach]) -> tuple[tuple[str, str], ...]:
    """The house in numbers."""
    house, z = house_rect(design), heights(design)
    indoor = [r for r in design.rooms if r.indoor]
    courts = [r for r in design.rooms if r.kind in COURTS]
    pieces = sum(step.pieces for step in steps.steps)
    return (
        ("Plot", f"{design.plot[0]} × {design.plot[1]} cells{_corners(design)}"),
        ("House, over the walls", f"{house.width} × {house.depth} cells"),
        ("Height, ground to ridge", f"{z.above(z.ridge)} cells"),
        ("Gate", f"from the {design.gate_side}"),
        ("Rooms", f"{len(indoor)} on {some(len(storeys(design)), 'storey')}"),
        ("Clear floor", f"{sum(r.area for r in indoor)} cells"),
        (
            "Court" if len(courts) == 1 else "Courts",
            " and ".join(f"{c.area} cells" for c in courts),
        ),
        *([("Yards", _yards(design))] if design.yards else []),
        ("Palette", design.palette.name),
        ("Pieces", _spaced(pieces)),
        ("Steps", f"{len(steps.steps)}, in {_spaced(len(steps.rows))} runs of equal pieces"),
        ("Temporary supports", str(steps.propped or "none")),
        ("Trestles to stand on", _trestles(reach)),
    )


def _spaced(n: int) -> str:
    """
    >>> _spaced(12040)
    '12 040'
    """
    return f"{n:,}".replace(",", " ")


def _trestles(reach: Sequence[Reach]) -> str:
    """In how many places they are set up, and what is out of reach nevertheless."""
    beyond = sum(one.beyond for one in reach)
    left = f"; {some(beyond, 'piece')} out of reach" if beyond else ""
    count, most = places(reach), max(len(one.trestles) for one in reach)
    if count < 2:
        return ("in one place" if count else "none") + left
    return f"in {count} places, {most} at most in one step{left}"


def _corners(design: Design) -> str:
    return f", {len(design.outline)} corners" if design.outline else ""


def _yards(design: Design) -> str:
    """What they are for, and how large."""
    return ", ".join(f"{yard.use} {yard.area}" for yard in design.yards) + " cells"
