"""Everything that a bench can be asked to do, by name; and how it does it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from genhouse.core.errors import GenhouseError
from genhouse.core.progress import watched
from genhouse.desk import alone, ask, near, overlays, shown, side_by_side, take
from genhouse.desk.address import query
from genhouse.desk.refusals import refused
from genhouse.desk.task import OVERTAKEN, WRONG, Answer, Task, sentence, told, whole
from genhouse.model.brief import Recipe


class OvertakenError(Exception):
    """Nobody waits for this any longer."""


def begun(recipe: Recipe) -> Answer:
    """A bench warms up: it has drawn a house."""
    shown.about(recipe)
    return shown.seen(recipe)


def again(recipe: Recipe, keep: str = "", number: str = "1") -> Answer:
    """The address of another house that shares what is kept; and all that is kept with it."""
    names = [name for name in keep.split(",") if name]
    count = whole(number)
    if count is None:
        return sentence("again: it wants a whole number", WRONG)
    other = near.again(recipe, names, count)
    return told({"query": query(other), "kept": near.locked(names)})


def village(recipe: Recipe, **words: str) -> Answer:
    """The map of a village: what it needs beside the rest is read only then."""
    from genhouse.village.public import check_extra

    check_extra()
    from genhouse.desk.hamlet import mapped

    return mapped(recipe, **words)


WORKS: dict[str, Callable[..., Any]] = {
    "begin": begun,
    "picture": shown.seen,
    "plan": shown.planned,
    "about": shown.about,
    "model": shown.modelled,
    "over": overlays.over,
    "alone": alone.alone,
    "near": near.near,
    "again": again,
    "pick": ask.picked,
    "ask": ask.asked,
    "moved": ask.moved,
    "row": side_by_side.row,
    "compare": side_by_side.compared,
    "zip": take.whole,
    "file": take.one,
    "files": take.listed,
    "names": take.to_fill_in,
    "save": take.saved,
    "village": village,
}
SLOW = ("moved", "zip", "file", "files", "save", "village")
"""What takes seconds: it never has all benches."""


def done(stop: Any, numbered: tuple[int, Task]) -> Any:
    """What comes of a task.  stop: a shared number; tasks up to it are wanted no longer."""
    number, task = numbered

    def watch(*_: object) -> None:
        if stop.value >= number:
            raise OvertakenError

    try:
        with watched(watch):
            return WORKS[task.work](task.recipe, **dict(task.options + task.given))
    except OvertakenError:
        return sentence("a newer wish came", OVERTAKEN)
    except GenhouseError as error:
        return refused(error, task.recipe)
