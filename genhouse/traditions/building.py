"""Trades: small pure functions that make parts of elements, in the order that a tradition gives them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from importlib import import_module

from genhouse.model.elements import Element, Member, Plant, of
from genhouse.model.part import Part
from genhouse.traditions.tradition import Tradition

Trade = Callable[[Sequence[Element], Tradition], Iterable[Part]]


def trades_of(tradition: Tradition) -> tuple[Trade, ...]:
    """A tradition's trades in their order."""
    found: tuple[Trade, ...] = import_module(
        f"genhouse.traditions.{tradition.builders}.trades"
    ).TRADES
    return found


def built(
    elements: Sequence[Element], tradition: Tradition, trades: Sequence[Trade]
) -> tuple[Part, ...]:
    """What each trade makes of the elements, one after another."""
    return tuple(part for trade in trades for part in trade(elements, tradition))


def set_members(elements: Sequence[Element], tradition: Tradition) -> Iterator[Part]:
    """One part of each member whose use the tradition's table knows."""
    uses = dict(tradition.uses)
    for e in of(Member, elements):
        if e.use in uses:
            stage, role, form = uses[e.use]
            yield Part(stage, role, form.format(e.side), e.box)


def plant_gardens(elements: Sequence[Element], _: Tradition) -> Iterator[Part]:
    """Gardens are laid as they are composed, each use by the role that is called so."""
    for e in of(Plant, elements):
        yield Part("court", e.use, e.side, e.box)
