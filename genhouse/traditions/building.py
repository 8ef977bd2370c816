"""Trades: small pure functions that make parts of elements, in the order that a tradition gives them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from importlib import import_module
from types import ModuleType

from genhouse.core.axes import Turn
from genhouse.core.box import Box
from genhouse.core.forms import turned
from genhouse.model.elements import Element, Elements, Fitted, Member, of
from genhouse.model.part import Part
from genhouse.traditions.lent import own_trades
from genhouse.traditions.tradition import FACING, Tradition

Trade = Callable[[Sequence[Element], Tradition], Iterable[Part]]


def trades_of(tradition: Tradition) -> tuple[Trade, ...]:
    """A tradition's trades in their order."""
    found: tuple[Trade, ...] = _trades(tradition.builders).TRADES
    return found


def uses_of(builders: str) -> tuple[str, ...]:
    """The uses that some builders' trades ask for by name, beside those of members."""
    found: tuple[str, ...] = _trades(builders).USES
    return found


def _trades(builders: str) -> ModuleType:
    own = own_trades(builders)
    return own or import_module(f"genhouse.traditions.{builders}.trades")


def built(
    elements: Sequence[Element], tradition: Tradition, trades: Sequence[Trade]
) -> tuple[Part, ...]:
    """What each trade makes of the elements, one after another."""
    some = Elements(elements)
    return tuple(part for trade in trades for part in trade(some, tradition))


def set_members(elements: Sequence[Element], tradition: Tradition) -> Iterator[Part]:
    """One part of each member whose use the tradition's table knows."""
    uses = dict(tradition.uses)
    for e in of(Member, elements):
        if e.use in uses:
            yield piece(tradition, e.use, e.box, e.side)


def piece(tradition: Tradition, use: str, box: Box, side: str = "") -> Part:
    """What serves a use in a box, as the tradition's table has it."""
    stage, role, form = tradition.row("uses", use)
    return Part(stage, role, form.format(side), box)


def set_fittings(elements: Sequence[Element], tradition: Tradition) -> Iterator[Part]:
    """Fittings as they are drawn, turned to where they look, in their colours."""
    for e in of(Fitted, elements):
        fitting = tradition.fitting(e.name)
        tints = {some[0]: some[n] for some, n in zip(fitting.tints, e.tints, strict=False)}
        turn = Turn(*fitting.size, FACING.index(e.facing), e.mirror)
        for px, py, pz, role, form in fitting.pieces:
            x, y, _ = turn.cell(px, py, 0)
            box = Box.cell(e.cells.x0 + x, e.cells.y0 + y, e.floor + pz)
            yield Part("fittings", tints.get(role, role), turned(form, turn), box)
