"""How words on the command line are read."""

from __future__ import annotations

import os
import re
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

import click

from genhouse.core.axes import SIDES
from genhouse.core.errors import BriefError
from genhouse.core.sentences import quoted
from genhouse.generate.slope_files import KINDS, read_ground
from genhouse.model.bounds import MOST_HELPERS, MOST_SEEDS, MOST_SURVEYED
from genhouse.model.brief import PARTY, Ground, Sides
from genhouse.model.shapes import SHAPES
from genhouse.traditions.shelf import SEED_BITS, check_name
from genhouse.traditions.slopes import CORNERS as CORNERS

if TYPE_CHECKING:
    from genhouse.house import House


def whole(what: str, text: str) -> int:
    """A seed.  Raises BriefError."""
    if (
        not re.fullmatch(r"[0-9]+", text, re.ASCII)
        or int(text[:40]) >= 1 << SEED_BITS
        or len(text) > 20
    ):
        raise BriefError(
            f"{what}: {quoted(text)} is not a whole number from 0 to 2**{SEED_BITS} - 1, such as 7"
        )
    return int(text)


def say_notes(house: House) -> None:
    """On standard error, what one should know of a saved house."""
    for note in house.notes:
        click.echo(f"genhouse: {note}", err=True)


class Seed(click.ParamType):  # type: ignore[type-arg, unused-ignore]
    name = "seed"

    def convert(self, value: Any, param: Any, ctx: Any) -> int:
        return value if isinstance(value, int) else whole("seed", value)


class Plot(click.ParamType):  # type: ignore[type-arg, unused-ignore]
    name = "WxD"

    def convert(self, value: Any, param: Any, ctx: Any) -> tuple[Any, ...]:
        """Width and depth; or the least and the most of them, between which the seed chooses."""
        if isinstance(value, tuple):
            return value
        size = r"([0-9]{1,6}) ?[x×] ?([0-9]{1,6})"
        match = re.fullmatch(rf"{size}(?:: ?{size})?", value, re.ASCII)
        if not match:
            raise BriefError(
                f"plot: {quoted(value)} is not a width and a depth, such as 23x32, nor two such, "
                "such as 20x24:30x40"
            )
        found = [int(number) for number in match.groups() if number]
        return ((*found[:2],), (*found[2:],)) if found[2:] else (*found,)


class Outline(click.ParamType):  # type: ignore[type-arg, unused-ignore]
    name = "SHAPE|CORNERS"

    def convert(self, value: Any, param: Any, ctx: Any) -> str | tuple[tuple[int, int], ...]:
        if isinstance(value, tuple):
            return value
        if value in SHAPES:
            return str(value)
        corners = [
            re.fullmatch(r"([0-9]{1,6}),([0-9]{1,6})", word, re.ASCII) for word in value.split()
        ]
        if not corners or None in corners:
            raise BriefError(
                f"outline: {quoted(value)} is neither {', '.join(SHAPES)} nor corners, such as "
                "'0,0 34,0 34,16 20,16 20,38 0,38'"
            )
        return tuple((int(corner[1]), int(corner[2])) for corner in corners if corner)


class Party(click.ParamType):  # type: ignore[type-arg, unused-ignore]
    name = "SIDE=party"

    def convert(self, value: Any, param: Any, ctx: Any) -> Sides:
        if isinstance(value, Sides):
            return value
        pairs = [word.strip().partition("=") for word in value.split(",")]
        for side, equals, kind in pairs:
            if not equals or kind.strip() != PARTY:
                raise BriefError(
                    f"sides: {quoted(value)} is not sides and what they are, such as "
                    f"west={PARTY},north={PARTY}"
                )
            check_name("side", side.strip(), SIDES, where="sides")
        said: dict[str, Literal["party"]] = {side.strip(): "party" for side, *_ in pairs}
        return Sides(**said)


class Fall(click.ParamType):  # type: ignore[type-arg, unused-ignore]
    name = "CORNER=CELLS|FILE"

    def convert(self, value: Any, param: Any, ctx: Any) -> Ground:
        """How high the ground lies at some corners, the others lowest; or at points spread over the plot,
        by rows or from a file."""
        if isinstance(value, Ground):
            return value
        if Path(value).suffix.lower() in KINDS:
            return read_ground(Path(value))
        if re.fullmatch(r"[0-9]{1,6}([,/][0-9]{1,6})+", value, re.ASCII):
            rows = (row.split(",") for row in value.split("/"))
            return Ground(levels=tuple(tuple(map(int, row)) for row in rows))
        said: dict[str, Any] = {}
        for word in value.split(","):
            corner, _, cells = word.partition("=")
            if not re.fullmatch(r"[0-9]{1,6}", cells.strip(), re.ASCII):
                raise BriefError(
                    f"ground: {quoted(value)} is not corners and their heights in cells, such as "
                    "northwest=2,northeast=1, nor the .npy or .png file of a table of heights"
                )
            check_name("corner", corner.strip(), CORNERS, where="ground")
            said[corner.strip()] = int(cells)
        return Ground(**said)


class Setting(click.ParamType):  # type: ignore[type-arg, unused-ignore]
    name = "STAGE=SEED"

    def convert(self, value: Any, param: Any, ctx: Any) -> tuple[str, int]:
        if isinstance(value, tuple):
            return value
        stage, equals, seed = value.partition("=")
        if not equals:
            raise BriefError(
                f"set: {quoted(value)} is not a stage and its seed, such as fittings=3"
            )
        return stage, whole(stage, seed)


class Seeds(click.ParamType):  # type: ignore[type-arg, unused-ignore]
    """most: how many there may be."""

    name = "a:b"

    def __init__(self, most: int = MOST_SEEDS) -> None:
        self.most = most

    def convert(self, value: Any, param: Any, ctx: Any) -> range:
        if isinstance(value, range):
            return value
        first, colon, end = value.partition(":")
        if not colon:
            raise BriefError(f"seeds: {quoted(value)} is not a first seed and an end, such as 0:60")
        start, stop = whole("seeds", first), whole("seeds", end)
        if stop <= start:
            raise BriefError(
                f"seeds: {quoted(value)} holds none; the end must be after the first seed"
            )
        if stop - start > self.most:
            raise BriefError(
                f"seeds: {quoted(value)} holds {stop - start}, and {self.most} are the most, "
                f"such as {start}:{start + self.most}"
            )
        return range(start, stop)


class Place(click.Path):
    """A file or folder, whether it is there or not."""

    def convert(self, value: Any, param: Any, ctx: Any) -> Any:
        if "\0" in os.fsdecode(value):
            raise BriefError(f"{value!r} names no file: it holds a zero byte")
        return super().convert(value, param, ctx)


SEED, SEEDS, PLOT, OUTLINE, PARTIES, FALL, SETTING = (
    Seed(),
    Seeds(),
    Plot(),
    Outline(),
    Party(),
    Fall(),
    Setting(),
)
MANY_SEEDS = Seeds(MOST_SURVEYED)
PROCESSES = click.IntRange(1, MOST_HELPERS)
PATH = Place(path_type=Path)

force = click.option(
    "--force",
    count=True,
    help="Replace what genhouse wrote before; twice: also files of it that were changed since. Your own "
    "files are kept.",
)
"""What may be replaced: a number of times that the word was given."""
