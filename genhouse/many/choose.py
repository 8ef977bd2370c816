"""From many ideas to a few good ones of which no two are alike."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from genhouse.many.distinct import Seen, distances, farthest, seen, told_apart
from genhouse.many.gather import Idea
from genhouse.many.rank import Aim, order, scores

POOL = 2
"""The choice is made among this many times as many, the best that there are."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pick:
    """An idea of the choice.  place: among all that were made, from 1.  score: 0 to 1.

    nearest: number in the choice, from 1, of the one most like it, and how far that is; None where
    it is alone.
    """

    idea: Idea
    place: int
    score: float
    nearest: tuple[int, float] | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """picks: the best first.  dropped: near-duplicates of a better one.  apart, outside: distances
    between the picks, in rows; outside, of their heights, their colours and their fronts.
    """

    picks: tuple[Pick, ...]
    dropped: int
    apart: tuple[tuple[float, ...], ...]
    outside: tuple[tuple[Seen, ...], ...]

    @property
    def heights(self) -> tuple[tuple[float, ...], ...]:
        """Distances of their heights alone."""
        return tuple(tuple(heights for heights, *_ in row) for row in self.outside)

    @property
    def least(self) -> float:
        """The distance of the two that are most alike; 1 where there are no two."""
        return min((p.nearest[1] for p in self.picks if p.nearest), default=1.0)


def choose(ideas: Sequence[Idea], wanted: Sequence[Aim], best: int) -> Choice:
    """Rank, drop near-duplicates, and take the most varied of what is best.

    With no aims the ideas keep their order and all of the first are taken.
    """
    worth = scores([idea.figures for idea in ideas], wanted)
    ranked = order(worth)
    kept, dropped = told_apart([ideas[n].features for n in ranked])
    pool = [ranked[k] for k in kept][: POOL * best]
    taken = [pool[k] for k in farthest([ideas[n].features for n in pool], best)]
    chosen = [ideas[n].features for n in taken]
    apart, looks = distances(chosen), tuple(tuple(seen(a, b) for b in chosen) for a in chosen)
    picks = tuple(
        Pick(
            idea=ideas[n],
            place=ranked.index(n) + 1,
            score=float(worth[n]),
            nearest=_nearest(row, k),
        )
        for k, (n, row) in enumerate(zip(taken, apart, strict=True))
    )
    return Choice(picks=picks, dropped=len(dropped), apart=apart, outside=looks)


def _nearest(row: Sequence[float], own: int) -> tuple[int, float] | None:
    others = [(value, n) for n, value in enumerate(row) if n != own]
    if not others:
        return None
    value, n = min(others)
    return n + 1, value
