"""The options that say which house is wanted, the same for every command that designs one."""

from __future__ import annotations

import shlex
from collections.abc import Callable
from functools import wraps
from pathlib import Path
from typing import Any, NamedTuple

import click

from genhouse.cli.words import CORNERS, FALL, OUTLINE, PARTIES, PATH, PLOT, SETTING
from genhouse.core.axes import SIDES
from genhouse.generate.briefs import read_brief, with_options
from genhouse.model.brief import PARTY, Brief, Ground, Recipe
from genhouse.model.shapes import SHAPES
from genhouse.traditions.shelf import GARDENS, at_hand, check_recipe

OPTIONS = (
    click.option(
        "--brief",
        "brief_file",
        type=PATH,
        help="What the client wants, as TOML.",
    ),
    click.option(
        "--plot",
        type=PLOT,
        help="Width and depth in cells, such as 23x32; or a range of them, such as 20x24:30x40.",
    ),
    click.option(
        "--outline",
        type=OUTLINE,
        help="Outline of the plot: "
        + ", ".join(SHAPES)
        + ", or its corners, such as '0,0 34,0 34,16 20,16 20,38 0,38'.",
    ),
    click.option("--gate", type=click.Choice(SIDES), help="Side from which a visitor comes."),
    click.option(
        "--sides",
        type=PARTIES,
        help="Edges of the plot that are shared with a neighbour, such as west=party,north=party.",
    ),
    click.option(
        "--ground",
        type=FALL,
        help="Height of the ground at corners of the plot, such as northwest=2,northeast=1; or the .npy or "
        ".png FILE of a table of heights.",
    ),
    click.option(
        "--mirror", is_flag=True, default=None, help="Mirror the house in the axis of its gate."
    ),
    click.option("--tradition", help="Way of building: a name, or the PATH of its folder."),
    click.option(
        "--trust", is_flag=True, help="Let the trades run that a tradition's own folder brings."
    ),
    click.option("--palette", help="Materials of the tradition; genhouse choices lists them."),
    click.option("--garden", help=f"Kind of court garden: {', '.join(GARDENS)}."),
    click.option(
        "--set",
        "settings",
        type=SETTING,
        multiple=True,
        help="Seed of one stage, such as fittings=3.",
    ),
)


class Wanted(NamedTuple):
    """What the options ask for.  words: the options as one would type them again."""

    brief: Brief
    settings: tuple[tuple[str, int], ...]
    words: str

    def recipe(self, seed: int) -> Recipe:
        """Raises BriefError or InfeasibleError for what no house can be made from."""
        recipe = Recipe(seed=seed, brief=self.brief, stage_seeds=self.settings)
        check_recipe(recipe)
        return recipe


def house_options(command: Callable[..., None]) -> Callable[..., None]:
    """Give a command the options of a house; it takes what they ask for as ``wanted``."""

    @wraps(command)
    def asked(
        *args: Any,
        brief_file: Path | None,
        settings: tuple[tuple[str, int], ...],
        trust: bool,
        **options: Any,
    ) -> None:
        own = {name: options.pop(name) for name in NAMES}
        name = own["tradition"] and at_hand(own["tradition"], trust=trust)
        brief = with_options(
            read_brief(brief_file) if brief_file else Brief(),
            **own | _plots(own["plot"]) | {"tradition": name},
        )
        stages = tuple(sorted(dict(settings).items()))
        words = " ".join(_words(brief_file, own, stages))
        command(*args, wanted=Wanted(brief, stages, words), **options)

    for option in reversed(OPTIONS):
        asked = option(asked)
    return asked


NAMES = (
    *("plot", "outline", "gate", "sides", "ground", "mirror", "tradition", "palette", "garden"),
)
"""Options that are keys of a brief."""


def _plots(plot: Any) -> dict[str, Any]:
    """The keys of a brief for one plot, or for a least and a most."""
    if plot and isinstance(plot[0], tuple):
        return {"plot": None, "plot_least": plot[0], "plot_most": plot[1]}
    return {"plot": plot}


def plot_words(plot: Any) -> str:
    """A plot, or a range of them, as it is typed.

    >>> plot_words((23, 32)), plot_words(((20, 24), (30, 40)))
    ('23x32', '20x24:30x40')
    """
    if isinstance(plot[0], tuple):
        return ":".join(map(plot_words, plot))
    return f"{plot[0]}x{plot[1]}"


def _outline_words(value: str | tuple[tuple[int, int], ...]) -> str:
    return value if isinstance(value, str) else " ".join(f"{x},{y}" for x, y in value)


def _ground_words(ground: Ground) -> str:
    if ground.levels:
        return "/".join(",".join(map(str, row)) for row in ground.levels)
    return ",".join(f"{name}={getattr(ground, name)}" for name in CORNERS)


SAID: dict[str, Callable[[Any], str]] = {
    "plot": plot_words,
    "outline": _outline_words,
    "sides": lambda sides: ",".join(f"{side}={PARTY}" for side in sides.party),
    "ground": _ground_words,
}
"""How a value is typed, where not as it is."""


def _words(
    brief_file: Path | None, own: dict[str, Any], stages: tuple[tuple[str, int], ...]
) -> list[str]:
    said = ["--brief", shlex.quote(str(brief_file))] if brief_file else []
    for name, value in own.items():
        if value is not None:
            text = SAID.get(name, str)(value)
            said += [f"--{name}"] if value is True else [f"--{name}", shlex.quote(text)]
    return said + [word for stage, seed in stages for word in ("--set", f"{stage}={seed}")]
