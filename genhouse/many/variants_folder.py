"""The files of a set of variants: their houses, a contact sheet, its page, and the list."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from genhouse.core.workers import spread_out
from genhouse.house import make
from genhouse.many.cards import Card, drawn
from genhouse.many.distinct import distances
from genhouse.many.page import Article, Words, page
from genhouse.many.sheet import Entry, sheet
from genhouse.many.variants import Variant, settled_stages
from genhouse.model.brief import STAGE_NAMES, Recipe
from genhouse.outputs.written import VARIANTS, sealed


def variants_files(
    first: Recipe, kept: Sequence[str], found: Sequence[Variant], *, processes: int | None = None
) -> dict[str, bytes]:
    """The houses' folders, with ``sheet.png``, ``variants.html`` and ``variants.json`` beside them."""
    made = spread_out(_made, found, processes)
    apart = distances([v.features for v in found])
    articles = [
        Article(
            entry=Entry(heading=f"Variant {n}", lines=(_line(variant),), card=card),
            command=f"variant-{n}",
            note="",
        )
        for n, (variant, (_, card)) in enumerate(zip(found, made, strict=True), 1)
    ]
    words = _words(first, kept, len(found))
    files = {
        "sheet.png": sheet(words.title, words.lead, [article.entry for article in articles]),
        "variants.html": page(words, articles, apart),
        VARIANTS.file: _document(first, kept, found),
        **{
            f"variant-{n}/{name}": contents
            for n, (inner, _) in enumerate(made, 1)
            for name, contents in inner.items()
        },
    }
    return sealed(files, VARIANTS.file)


def _made(variant: Variant) -> tuple[dict[str, bytes], Card]:
    """The files of a house's folder, and its card."""
    house = make(variant.recipe)
    return house.files(), drawn(house)


def _words(first: Recipe, kept: Sequence[str], count: int) -> Words:
    new = STAGE_NAMES[len(kept) :]
    lead = f"{count} variants. As they are: {', '.join(kept) or 'nothing'}. Drawn anew: {', '.join(new)}."
    method = "The cells of the stages left as they are agree, to the byte, with the first house's."
    return Words(
        title=f"Variants of house {first.seed}",
        lead=lead,
        method=(method,) if kept else (),
        aims=(),
    )


def _line(variant: Variant) -> str:
    """What an eye might look for."""
    f = variant.figures
    return f"{f.floor} cells of floor · {f.solid} pieces"


def _document(first: Recipe, kept: Sequence[str], found: Sequence[Variant]) -> bytes:
    import msgspec

    said: dict[str, Any] = {
        "format": VARIANTS.format,
        "version": 1,
        "first": first,
        "kept": kept,
        "identical": settled_stages(kept),
        "variants": [
            {"recipe": v.recipe, "digests": v.stages, "figures": v.figures} for v in found
        ],
    }
    text = msgspec.json.encode(said, order="deterministic")
    return msgspec.json.format(text, indent=1) + b"\n"
