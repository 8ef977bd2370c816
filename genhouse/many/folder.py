"""The files of a contact sheet: the picture, the page, and the figures for programs."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from genhouse.core.errors import InfeasibleError
from genhouse.core.spoken import listed
from genhouse.many import outside
from genhouse.many.cards import Card, cards
from genhouse.many.choose import Choice, Pick, choose
from genhouse.many.distinct import ALIKE
from genhouse.many.gather import Refusal, gather, refused
from genhouse.many.page import Words, set_files
from genhouse.many.rank import Aim
from genhouse.many.sheet import Entry
from genhouse.model.brief import Recipe
from genhouse.outputs.written import IDEAS

INSIDE = (
    "Inside, half of a distance is the use of the ground plan, seen from the gate and allowing for a "
    "mirror; three tenths are the floor given to each kind of room; two tenths the plot, wings, "
    "courts, roof lines and depth."
)
OUTSIDE = (
    "Outside, it is the mean difference of their heights over the ground that either covers, to the "
    "higher ridge; the least, however one of them is turned or mirrored."
)


def best_ideas(
    recipes: Sequence[Recipe], wanted: Sequence[Aim], best: int, *, processes: int | None = None
) -> tuple[Choice, tuple[Refusal, ...]]:
    """The choice from a house for each recipe; what is chosen makes a sound house.

    Raises InfeasibleError, with the first reason, where none of the recipes makes one.
    """
    whole = any(aim.figure.whole for aim in wanted)
    ideas, refusals = gather(recipes, whole=whole, processes=processes)
    seen: set[Recipe] = set()
    while ideas:
        choice = choose(ideas, wanted, best)
        fresh = [p.idea.recipe for p in choice.picks if not whole and p.idea.recipe not in seen]
        unsound = refused(fresh, processes=processes)
        if not unsound:
            return choice, refusals
        seen.update(fresh)
        gone = {refusal.recipe for refusal in unsound}
        ideas = tuple(idea for idea in ideas if idea.recipe not in gone)
        refusals = tuple(sorted((*refusals, *unsound), key=lambda r: recipes.index(r.recipe)))
    raise InfeasibleError(
        f"none of the {len(recipes)} seeds makes a house: {refusals[0].reason}", stage="rooms"
    )


def ideas_files(
    choice: Choice,
    refusals: Sequence[Refusal],
    wanted: Sequence[Aim],
    seeds: range,
    options: str,
    *,
    processes: int | None = None,
) -> dict[str, bytes]:
    """The files by name: ``sheet.png``, ``ideas.html`` and ``ideas.json``."""
    shown = cards([pick.idea.recipe for pick in choice.picks], processes=processes)
    entries = [
        Entry(
            heading=f"{n}.  House {pick.idea.recipe.seed}",
            lines=_lines(card, wanted),
            card=card,
            command=f"genhouse design {pick.idea.recipe.seed} {options}".rstrip(),
            note=_note(pick, len(seeds) - len(refusals)),
        )
        for n, (pick, card) in enumerate(zip(choice.picks, shown, strict=True), 1)
    ]
    return set_files(
        _words(choice, refusals, wanted, seeds),
        entries,
        [(INSIDE, choice.apart), (OUTSIDE, choice.heights)],
        IDEAS,
        _document(choice, shown, refusals, wanted, seeds),
    )


def _lines(card: Card, wanted: Sequence[Aim]) -> tuple[str, ...]:
    """Its values of the figures asked for, two to a line."""
    said = [
        f"{a.figure.title} {a.figure.text(a.figure.read(card.figures))} {a.figure.unit}".strip()
        for a in wanted
    ]
    return tuple(" · ".join(said[n : n + 2]) for n in range(0, min(4, len(said)), 2))


def _note(pick: Pick, made: int) -> str:
    rank = f"Place {pick.place} of {made}, betters {100 * pick.score:.0f} % of the others."
    if pick.nearest is None:
        return rank
    other, far = pick.nearest
    return f"{rank} Most like number {other}, at a distance of {far:.2f}."


def _words(
    choice: Choice, refusals: Sequence[Refusal], wanted: Sequence[Aim], seeds: range
) -> Words:
    brief = choice.picks[0].idea.recipe.brief
    title = f"Ideas for {brief.client}" if brief.client else "Ideas"
    by = listed(aim.words for aim in wanted)
    lead = f"{len(choice.picks)} of {len(seeds)} houses, seeds {seeds[0]} to {seeds[-1]}, by {by}."
    method: tuple[str, ...] = (
        "A house's score is the part of all the others that it betters, taken over the figures asked "
        f"for. Of two houses less than {ALIKE} apart inside, or {float(outside.ALIKE)} outside, the better "
        f"one stays: {choice.dropped or 'none'} "
        f"{'was' if choice.dropped < 2 else 'were'} dropped. From the best of the rest, the first is "
        "taken, and then each time the one farthest from all taken before. "
        f"The two most alike here are {choice.least:.2f} apart inside.",
    )
    if refusals:
        method += (f"{len(refusals)} seeds make no house; the first: {refusals[0].reason}.",)
    return Words(
        title=title,
        lead=lead,
        method=method,
        aims=tuple(aim.figure.name for aim in wanted),
        seen="seen from outside and above",
    )


def _document(
    choice: Choice,
    shown: Sequence[Card],
    refusals: Sequence[Refusal],
    wanted: Sequence[Aim],
    seeds: range,
) -> dict[str, Any]:
    return {
        "version": 2,
        "seeds": [seeds.start, seeds.stop],
        "by": [{"figure": aim.figure.name, "more": aim.more} for aim in wanted],
        "dropped": choice.dropped,
        "refused": [{"seed": r.recipe.seed, "reason": r.reason} for r in refusals],
        "picks": [
            {
                "recipe": pick.idea.recipe,
                "place": pick.place,
                "score": round(pick.score, 4),
                "distances": [round(value, 4) for value in row],
                "outside": [[round(value, 4) for value in three] for three in looks],
                "figures": card.figures,
            }
            for pick, card, row, looks in zip(
                choice.picks, shown, choice.apart, choice.outside, strict=True
            )
        ],
    }
