"""The roster: a row a house, from which it can be made again alone, byte for byte."""

from __future__ import annotations

import csv
import io
import json
from typing import Any

import msgspec

from genhouse.core.errors import UnreadableError
from genhouse.core.learned import learned
from genhouse.core.reading import as_record, json_value
from genhouse.house import House, make
from genhouse.model.brief import Brief, Recipe
from genhouse.village.layout import Village
from genhouse.village.people import WHY

COLUMNS = (
    "house", "seed", "recipe", "x", "y", "z", "turn", "width", "depth", "pieces", "gate_x", "gate_y",
    "gate_z4", "quarter", "why", "nearest", "inside", "outside",
)  # fmt: skip


class RecipeRow(msgspec.Struct, frozen=True, kw_only=True):
    """A recipe as a row keeps it."""

    seed: int
    brief: Brief
    stage_seeds: dict[str, int] = {}


def roster_csv(village: Village) -> str:
    """houses.csv: CRLF lines, as RFC 4180 has it."""
    text = io.StringIO()
    writer = csv.writer(text)
    writer.writerow(COLUMNS)
    for row in rows(village):
        writer.writerow([row[name] for name in COLUMNS])
    return text.getvalue()


def rows(village: Village) -> list[dict[str, Any]]:
    """A row a house, by column."""
    found = []
    for house, level, like in zip(village.houses, village.levels, village.likeness, strict=True):
        x0, y0, x1, y1 = house.rect
        gx, gy, gz4 = house.threshold
        found.append(
            {
                "house": house.plot.number,
                "seed": house.recipe.seed,
                "recipe": recipe_json(house.recipe),
                "x": x0,
                "y": y0,
                "z": level - 2,
                "turn": 0,
                "width": x1 - x0,
                "depth": y1 - y0,
                "pieces": house.pieces,
                "gate_x": x0 + gx,
                "gate_y": y0 + gy,
                "gate_z4": 4 * (level - 2) + gz4,
                "quarter": house.plot.quarter,
                "why": why(village, house.plot.number),
                "nearest": like.nearest or "",
                "inside": f"{like.inside / 1000:.3f}",
                "outside": f"{like.outside / 1000:.3f}",
            }
        )
    return found


def why(village: Village, number: int) -> str:
    """Why a house stands where it does, in words."""
    house = village.houses[number - 1]
    plot, brief = house.plot, house.recipe.brief
    lane = village.site.lanes.lanes[plot.lane]
    said = f"{WHY[plot.quarter]}, {plot.far} cells from the green, gate to a {lane.kind}"
    beside = [f"house {n}" for n in (number - 1, number + 1) if _share(village, number, n)]
    if beside:
        said += f", wall to wall with {' and '.join(beside)}"
    if any(number in back.houses for back in village.backs):
        said += ", back lane behind"
    extra = "; like another, tries spent" if village.likeness[number - 1].alike else ""
    return f"{said}; {brief.trade or 'no trade'}{extra}"


def _share(village: Village, one: int, other: int) -> bool:
    """Whether two houses, by their numbers, stand in one row."""
    if not 0 < other <= len(village.houses):
        return False
    return village.houses[one - 1].plot.row == village.houses[other - 1].plot.row


def recipe_json(recipe: Recipe) -> str:
    """A recipe as JSON on one line, keys in a fixed order; what is not said is left out."""
    plain = msgspec.to_builtins(
        RecipeRow(seed=recipe.seed, brief=recipe.brief, stage_seeds=dict(recipe.stage_seeds))
    )
    usual = msgspec.to_builtins(Brief())
    plain["brief"] = {key: value for key, value in plain["brief"].items() if value != usual[key]}
    if not plain["stage_seeds"]:
        del plain["stage_seeds"]
    return json.dumps(plain, sort_keys=True, separators=(",", ":"))


def recipe_of(text: str) -> Recipe:
    """The recipe of a row.  Raises UnreadableError."""
    row = as_record(json_value(text.encode()), learned(RecipeRow))
    if max(row.seed, *row.stage_seeds.values(), 0) >> 64 or row.seed < 0:
        raise UnreadableError("a recipe's seed is not of 64 bits")
    return Recipe(
        seed=row.seed, brief=row.brief, stage_seeds=tuple(sorted(row.stage_seeds.items()))
    )


def remade(row: dict[str, str]) -> House:
    """The house of a roster's row, made alone.  Raises as ``make`` does."""
    return make(recipe_of(row["recipe"]))
