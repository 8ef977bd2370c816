"""What a survey keeps of one house: a row, worked out from its recipe alone.

A row of a table has plain values in the order of COLUMNS, None where there is no house.
"""

from __future__ import annotations

from collections.abc import Iterator
from time import thread_time
from typing import Any, get_type_hints

from msgspec import Struct

from genhouse.core.errors import GenhouseError
from genhouse.core.sentences import sentence
from genhouse.core.version import build
from genhouse.generate.remade import recipe_text
from genhouse.house import House
from genhouse.model.brief import Recipe
from genhouse.model.digests import named_digests
from genhouse.model.part import STAGES
from genhouse.outputs.figures._tables import Figures
from genhouse.outputs.figures.named_figures import NAMED
from genhouse.sound import UNSOUND, sound

MADE, REFUSED, FAILED = "made", "refused", "failed"
"""A sound house; a brief that no house answers; a fault of genhouse's own."""
SHORT = 16
"""Hexadecimal digits kept of a stage's digest: 64 bits."""
WORDS = ("tradition", "arrangement", "palette", "gate")
COUNTS = ("width", "length", "storeys", "rooms", "courts")

Value = str | int | float | None


def _scalars(kind: type, path: str = "") -> Iterator[str]:
    """Where the numbers of a record stand, dots between."""
    for name, hint in get_type_hints(kind).items():
        if hint in (int, float):
            yield path + name
        elif isinstance(hint, type) and issubclass(hint, Struct):
            yield from _scalars(hint, f"{path}{name}.")


def _column(place: str) -> str:
    """The name of a number that has none of its own; some bear the name of a ratio made of them."""
    name = place.replace(".", "_")
    return f"{name}_in_all" if name in _NAMES else name


_NAMES = tuple(figure.name.replace("-", "_") for figure in NAMED)
_TOLD = tuple(place for place in _scalars(Figures) if place not in {f.told for f in NAMED})
FIGURES = (
    *_NAMES,
    *map(_column, _TOLD),
    *COUNTS,
    *(f"cells_{stage}" for stage in STAGES),
)
"""Numbers of a whole house, by name: those with a name of their own, and then all others."""
DIGESTS = (*(f"digest_{stage}" for stage in STAGES), "digest_rooms")
COLUMNS: dict[str, str] = {
    "seed": "TEXT",
    "recipe": "TEXT",
    "outcome": "TEXT",
    "findings": "TEXT",
    "reason": "TEXT",
    "digest": "TEXT",
    **dict.fromkeys(DIGESTS, "TEXT"),
    **dict.fromkeys(WORDS, "TEXT"),
    **dict.fromkeys(FIGURES, "NUMERIC"),
    "seconds": "NUMERIC",
    "version": "TEXT",
}
"""Names and types.  seed: its digits, since a table's whole numbers end at 2**63 - 1.  findings: what
was found, in this house or in draws before it, a line each.  digest: of all that ``house.npz`` says;
by stage, of its cells by names, the first 64 bits.  seconds: of a processor, design and inspection."""


def row_of(recipe: Recipe) -> tuple[Value, ...]:
    """The row of a recipe."""
    begun, made = thread_time(), None
    values: dict[str, Value] = {
        "seed": str(recipe.seed),
        "recipe": recipe_text(recipe),
        "findings": "",
        "reason": "",
        "version": build(),
    }
    try:
        made = sound(recipe)
    except GenhouseError as error:
        failed = UNSOUND in str(error)
        values |= {"outcome": FAILED if failed else REFUSED, "reason": sentence(str(error))}
        values |= {"findings": sentence(str(error)) if failed else ""}
    except Exception as error:  # a fault of genhouse's own is what a survey is there to find
        said = sentence(f"{type(error).__name__}: {error}")
        values |= {"outcome": FAILED, "reason": said, "findings": said}
    values["seconds"] = round(thread_time() - begun, 4)
    if made:
        values |= _told(House(made.plan, made.voxels, _report=made.report))
        values |= {"outcome": MADE, "findings": "\n".join(map(sentence, made.faults))}
    return tuple(values.get(name) for name in COLUMNS)


def saved_row(house: House, recipe: str) -> tuple[Value, ...]:
    """The row of a saved house as it stands, inspected anew.  recipe: what is written for its own."""
    values: dict[str, Value] = {
        "seed": str(house.recipe.seed),
        "recipe": recipe,
        "outcome": MADE,
        "findings": "\n".join(sentence(str(found)) for found in house.inspect().findings),
        "reason": "",
        "seconds": 0.0,
        "version": build(),
        **_told(house),
    }
    return tuple(values.get(name) for name in COLUMNS)


def _told(house: House) -> dict[str, Value]:
    plan = house.plan
    stages = {f"digest_{name}": text[:SHORT] for name, text in named_digests(house.voxels).items()}
    words = (plan.recipe.brief.tradition, plan.arrangement, plan.palette.name, plan.gate_side)
    return {
        "digest": house.digest,
        **stages,
        **dict(zip(WORDS, words, strict=True)),
        **figures_of(house),
    }


def figures_of(house: House) -> dict[str, Value]:
    """The numbers of FIGURES."""
    measured, plan = house.figures(), house.plan
    indoor = [room for room in plan.rooms if room.indoor]
    counts = (
        *plan.plot,
        max(room.level for room in indoor),
        len(indoor),
        len(plan.courts),
    )
    cells = [measured.stages[stage].cells if stage in measured.stages else 0 for stage in STAGES]
    values = (
        *(figure.read(measured) for figure in NAMED),
        *(_at(measured, place) for place in _TOLD),
        *counts,
        *cells,
    )
    return dict(zip(FIGURES, values, strict=True))


def _at(value: Any, place: str) -> Any:
    for name in place.split("."):
        value = getattr(value, name)
    return value
