"""What is laid over a plan, cell by cell: light by lamps, privacy, rain, and the walk from the gate."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from genhouse.desk.made import figures_of, house_of, light_of
from genhouse.desk.task import WRONG, Answer, sentence, told, whole
from genhouse.model.brief import Recipe
from genhouse.outputs.figures._roof_lines import roof_tops
from genhouse.outputs.figures._walk import from_the_gate
from genhouse.outputs.figures._water import flooded, steepest

TONES = 5
"""Strengths of ink."""
Cells = Iterator[tuple[int, int, float]]
"""x, y, and how much."""


def over(recipe: Recipe, what: str = "light", level: str = "1") -> Answer:
    """Cells with the strength of their ink, 0 to TONES - 1, what each has, and what the strengths mean."""
    storey = whole(level)
    if what not in OVERLAYS or storey is None:
        return sentence(f"over: it is {', '.join(OVERLAYS)}, on a level", WRONG)
    title, unit, most_is_dark, work = OVERLAYS[what]
    found = list(work(recipe, storey))
    steps = _steps([much for *_, much in found])
    cells = [[x, y, _tone(much, steps, most_is_dark), round(much, 1)] for x, y, much in found]
    legend = [[tone, words] for tone, words in _legend(steps, unit, most_is_dark)]
    return told({"title": title, "unit": unit, "cells": cells, "legend": legend})


def _light(recipe: Recipe, level: int) -> Cells:
    for room in light_of(recipe):
        if room.level == level:
            for (x, y, _), lux in zip(room.cells.tolist(), room.lux.tolist(), strict=True):
                yield x, y, lux


def _privacy(recipe: Recipe, level: int) -> Cells:
    depth = {room.id: room.depth for room in figures_of(recipe).rooms}
    for room in house_of(recipe).plan.rooms:
        if room.level == level:
            yield from ((x, y, depth[room.id]) for rect in room.rects for x, y in rect.cells())


def _rain(recipe: Recipe, _level: int) -> Cells:
    """Columns of roof whose rain runs over each one, itself among them."""
    house = house_of(recipe)
    filled, source = flooded(roof_tops(house.plan, house.voxels))
    down = source | steepest(filled)
    above = dict.fromkeys(source, 1)
    waiting = dict.fromkeys(source, 0)
    for cell in source:
        if down[cell] in waiting:
            waiting[down[cell]] += 1
    ready = [cell for cell, many in waiting.items() if not many]
    for cell in ready:
        onward = down[cell]
        if onward in above:
            above[onward] += above[cell]
            waiting[onward] -= 1
            if not waiting[onward]:
                ready.append(onward)
    yield from ((x, y, much) for (x, y), much in above.items())


def _walk(recipe: Recipe, level: int) -> Cells:
    voxels = house_of(recipe).voxels
    levels = {room.id: room.level for room in voxels.about.rooms}
    least: dict[tuple[int, int], int] = {}
    for (x, y, quarter), steps in from_the_gate(voxels):
        if levels.get(int(voxels.room[x, y, quarter // 4]), 1) == level:
            least.setdefault((x, y), steps)
    yield from ((x, y, steps) for (x, y), steps in least.items())


OVERLAYS: dict[str, tuple[str, str, bool, Callable[[Recipe, int], Cells]]] = {
    "light": ("Light by lamps at night", "lux", False, _light),
    "privacy": ("Rooms to pass from outside", "rooms", True, _privacy),
    "rain": ("Rain that runs over each cell of roof", "cells of roof", True, _rain),
    "walking": ("Steps from the gate", "steps", True, _walk),
}
"""Title, unit, whether much is dark, and the work."""


def _steps(amounts: list[float]) -> list[float]:
    """Where each strength but the first begins: at even parts of all the cells there are."""
    row = sorted(amounts)
    marks = [row[len(row) * n // TONES] for n in range(1, TONES)] if row else []
    return sorted({round(mark) for mark in marks if mark > row[0]})


def _tone(much: float, steps: list[float], most_is_dark: bool) -> int:
    at = sum(much >= step for step in steps)
    return at if most_is_dark else len(steps) - at


def _legend(steps: list[float], unit: str, most_is_dark: bool) -> Iterator[tuple[int, str]]:
    for n in range(len(steps) + 1):
        tone = n if most_is_dark else len(steps) - n
        if not steps:
            yield tone, "the same everywhere"
        elif n == 0:
            yield tone, f"under {steps[0]:g} {unit}"
        elif n == len(steps):
            yield tone, f"{steps[-1]:g} and more"
        else:
            yield tone, f"{steps[n - 1]:g} to {steps[n]:g}"
