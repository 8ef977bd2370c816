"""The files of a set of variants: their houses, a contact sheet, its page, and the list."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import Any

from genhouse.core.workers import spread_out
from genhouse.house import make
from genhouse.many import outside
from genhouse.many.apart import NEAREST
from genhouse.many.cards import Card, drawn
from genhouse.many.page import Words, set_files
from genhouse.many.sheet import Entry
from genhouse.many.variants import Variant, Variants, settled_stages
from genhouse.model.brief import STAGE_NAMES, Recipe
from genhouse.outputs.written import VARIANTS

_HEIGHTS = f" Their heights differ too, by {float(outside.ALIKE)} of the ridge or more on the mean."
SEEN = {
    "outside": "seen from outside and above",
    "inside": "cut open above the lower floor",
}


def variants_files(
    first: Recipe, kept: Sequence[str], chosen: Variants, *, processes: int | None = None
) -> dict[str, bytes]:
    """The houses' folders, with ``sheet.png``, ``variants.html`` and ``variants.json`` beside them."""
    made = spread_out(partial(_made, chosen.view), chosen.found, processes, what="folders")
    shown = [card for _, card in made]
    entries = [
        Entry(
            heading=f"Variant {n}",
            lines=_lines(variant, card),
            card=card,
            command=f"variant-{n}",
        )
        for n, (variant, card) in enumerate(zip(chosen.found, shown, strict=True), 1)
    ]
    inner = {
        f"variant-{n}/{name}": contents
        for n, (files, _) in enumerate(made, 1)
        for name, contents in files.items()
    }
    return set_files(
        _words(first, kept, chosen),
        entries,
        [(_apart(chosen), chosen.apart)],
        VARIANTS,
        _document(first, kept, chosen, shown),
        inner,
    )


def _made(view: str, variant: Variant) -> tuple[dict[str, bytes], Card]:
    """The files of a house's folder, and its card."""
    house = make(variant.recipe)
    return house.files(), drawn(house, view)


def _words(first: Recipe, kept: Sequence[str], chosen: Variants) -> Words:
    new = STAGE_NAMES[len(kept) :]
    lead = (
        f"{len(chosen.found)} variants. As they are: {', '.join(kept) or 'nothing'}. "
        f"Drawn anew: {', '.join(new)}."
    )
    same = "The cells of the stages left as they are agree, to the byte, with the first house's."
    far = (
        f"They are shown {SEEN[chosen.view]}, where they differ: there each is at least "
        f"{float(NEAREST):.2f} from every other and from the first, and the two most alike are "
        f"{chosen.least:.2f} apart." + ("" if "site" in kept else _HEIGHTS)
    )
    return Words(
        title=f"Variants of house {first.seed}, {SEEN[chosen.view]}",
        lead=lead,
        method=(same, far) if kept else (far,),
        aims=(),
        seen=SEEN[chosen.view],
    )


def _apart(chosen: Variants) -> str:
    return (
        "A distance is the part of the pieces drawn anew that two houses do not share, of those "
        f"that the picture shows, {SEEN[chosen.view]}."
    )


def _lines(variant: Variant, card: Card) -> tuple[str, ...]:
    """What an eye might look for."""
    f = card.figures
    return (
        f"{f.floor} cells of floor · {f.solid} pieces",
        f"{variant.nearest:.2f} from the one most like it; none is nearer than {float(NEAREST):.2f}",
    )


def _document(
    first: Recipe, kept: Sequence[str], chosen: Variants, shown: Sequence[Card]
) -> dict[str, Any]:
    return {
        "version": 2,
        "first": first,
        "kept": kept,
        "identical": settled_stages(kept),
        "view": chosen.view,
        "nearest": float(NEAREST),
        "variants": [
            {
                "recipe": variant.recipe,
                "digests": variant.stages,
                "nearest": round(variant.nearest, 4),
                "distances": [round(value, 4) for value in row],
                "figures": card.figures,
            }
            for variant, row, card in zip(chosen.found, chosen.apart, shown, strict=True)
        ],
    }
