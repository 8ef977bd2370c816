"""Which traditions there are, and whether a brief asks for something they have; light to import."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from genhouse.core.axes import SIDES
from genhouse.core.errors import BriefError, GenhouseError, InfeasibleError
from genhouse.core.kept import once
from genhouse.core.region import rectangle
from genhouse.core.sentences import closest, quoted, unsaid
from genhouse.model.bounds import BOUNDS, LARGEST_PLOT, SMALLEST_PLOT, most_rooms
from genhouse.model.brief import SETTLED, STAGE_NAMES, Brief, Recipe
from genhouse.model.roof import WINGS
from genhouse.traditions import folders, lent
from genhouse.traditions.claims import check_claims
from genhouse.traditions.lent import lend as lend
from genhouse.traditions.outline import check_outline
from genhouse.traditions.sense import HALLS, check_sense
from genhouse.traditions.slopes import check_ground

ARRANGEMENTS = (
    "ring",
    "aside",
    "walled-garden",
    "garden-range",
    "garden-wing",
    "side-range",
    "run-on",
    "pinwheel",
    "tail",
    "ear",
    "rambling",
    "outbuilding",
    "forecourt",
    "lean-to",
    "side-yard",
    "lookout",
    *HALLS,
    "cross-wing",
    "cross-wings",
)
GARDENS = (
    *("pond", "gravel", "moss", "grove", "well", "tree", "quartered", "paved", "basin", "bare"),
)
YARDS = (
    "kitchen yard",
    "drying ground",
    "work yard",
    "wood store",
    "jar terrace",
    "kitchen garden",
    "orchard",
    "garden",
    "green",
    "forecourt",
)
"""What the open ground of a plot may be for."""
SEED_BITS = 64
HEAVIEST = 1000
"""The greatest weight that a tradition may have among others."""
ALL = "all"
"""What stands for every tradition at hand, where several may be asked for."""
LONGEST_CLIENT = 200
"""Letters of a client's name: two lines of a page."""


def names() -> tuple[str, ...]:
    """The traditions at hand, sorted: of the shelf, and of installed packages."""
    return tuple(sorted({*folders.names(), *lent.installed()}))


def at_hand(words: str, base: Path = Path(), *, trust: bool = False) -> str:
    """The name of a tradition that is told by its name, or by its folder, beginning from another.

    Raises BriefError and TraditionError as ``lent.take_in`` does.
    """
    return lent.take_in(base / words, trust=trust) if lent.is_path(words) else words


def weighed(ways: Mapping[str, object]) -> tuple[tuple[str, int], ...]:
    """Traditions that are told as ``at_hand`` has it, with their weights.

    Raises BriefError and TraditionError.
    """
    found = []
    for words, weight in ways.items():
        name = at_hand(words)
        tables(name)
        if isinstance(weight, bool) or not isinstance(weight, int) or not 0 < weight <= HEAVIEST:
            raise BriefError(f"tradition: {quoted(weight)} is not a weight from 1 to {HEAVIEST}")
        found.append((name, weight))
    return tuple(found)


@once
def tables(name: str) -> Mapping[str, Any]:
    """A tradition's TOML tables: all that stands in its folder, and in those that it rests on.

    Read once, and shared: not to be changed.
    Raises BriefError for an unknown name, and TraditionError for what is no TOML.
    """
    if name in folders.names():
        return folders.read_folder(folders.SHELF / name)
    if (text := lent.text_of(name)) is not None:
        return dict(json.loads(text))
    if lent.is_lent(name):
        raise BriefError(
            f"tradition: the folder of {quoted(name)} is not at hand; give it with --tradition PATH, "
            f"or name it in {lent.PLACES}"
        )
    check_name("tradition", name, names())
    return folders.read_folder(lent.installed()[name])


def file_of(name: str, sentence: str) -> str:
    """The file of a tradition in which that stands, or ought to, with which a sentence begins; of one
    that has none, its name."""
    folder = folders.SHELF / name if name in folders.names() else lent.folder_of(name)
    return folders.file_of(folder, sentence) if folder else f"tradition {name}"


def check_name(what: str, name: object, known: Iterable[str], *, where: str = "") -> None:
    """Raises BriefError, with what would be right, where a name is not among those known."""
    known = tuple(known)
    if name not in known:
        raise BriefError(
            f"{where or what}: there is no {what} {quoted(name)}; {closest(name, known)}"
        )


def check_recipe(recipe: Recipe) -> None:
    """Raises BriefError or InfeasibleError for what no house can be made from."""
    for what, seed in (("seed", recipe.seed), *recipe.stage_seeds):
        if not 0 <= seed < 1 << SEED_BITS:
            raise BriefError(f"{what}: {seed} is not a whole number from 0 to 2**{SEED_BITS} - 1")
    for stage, _ in recipe.stage_seeds:
        check_stage(stage)
    check_brief(recipe.brief)


def sensible(recipe: Recipe) -> bool:
    """Whether the checks of a recipe find nothing amiss."""
    try:
        check_recipe(recipe)
    except GenhouseError:
        return False
    return True


def check_stage(stage: str) -> None:
    """Raises BriefError for a stage that there is not, and for one that draws nothing."""
    if stage in SETTLED:
        raise BriefError(
            f"stage: {stage} draws nothing of its own, it follows from the {SETTLED[stage]}; "
            f"try {SETTLED[stage]}"
        )
    check_name("stage", stage, STAGE_NAMES)


def check_brief(brief: Brief) -> None:
    """Raises BriefError for an unknown name and InfeasibleError for a plot no house fits on."""
    _check_client(brief.client)
    if brief.gate is not None:
        check_name("gate", brief.gate, SIDES)
    _check_sides(brief)
    check_ground(brief.ground)
    if brief.garden is not None:
        check_name("garden", brief.garden, GARDENS)
    if brief.arrangement is not None:
        check_name("arrangement", brief.arrangement, ARRANGEMENTS)
    palettes = tables(brief.tradition)["palette"] if brief.palette else ()
    if brief.palette is not None:
        check_name("palette", brief.palette, palettes)
    tables(brief.tradition)
    if brief.trade is not None:
        check_name("trade", brief.trade, tables(brief.tradition).get("trade", {}))
    for key in ("light", "people", "closed", "courts", "storeys"):
        check_number(key, getattr(brief, key))
    _check_plots(brief)
    _check_roof(brief)
    if brief.rooms:
        _check_rooms(brief)
    check_sense(brief, tables(brief.tradition)["kind"] if brief.rooms else {})
    check_claims(brief, tables(brief.tradition))


def _check_sides(brief: Brief) -> None:
    """Raises BriefError where no edge of the plot is left for the gate, or not the one asked for."""
    party = brief.sides.party
    free = [side for side in SIDES if side not in party]
    if not free:
        raise BriefError(
            "sides: all four are shared with neighbours, and none is left for the gate; leave one out"
        )
    if brief.gate in party:
        raise BriefError(
            f"gate: the {brief.gate} side is shared with a neighbour, and a gate opens to none; "
            f"try {free[0]}"
        )


def _check_client(name: str) -> None:
    if any(map(unsaid, name)):
        raise BriefError(
            f"client: {quoted(name)} has letters that cannot be printed; leave them out"
        )
    if len(name) > LONGEST_CLIENT:
        raise BriefError(f"client: {quoted(name)} has more than {LONGEST_CLIENT} letters")


def check_number(key: str, value: int | None, *, where: str = "") -> None:
    """Raises BriefError, with what would be right, where a number is out of its key's bounds."""
    low, high = BOUNDS[key]
    if value is not None and not low <= value <= high:
        raise BriefError(f"{where or key}: {value} is not a number from {low} to {high}")


def _check_plots(brief: Brief) -> None:
    for plot in (brief.plot, brief.plot_least, brief.plot_most):
        if plot is not None:
            _check_plot(plot)
    if brief.plot is not None and (brief.plot_least or brief.plot_most):
        raise BriefError("plot: give either plot, or plot_least and plot_most")
    least, most = brief.plot_least or SMALLEST_PLOT, brief.plot_most or LARGEST_PLOT
    if any(a > b for a, b in zip(least, most, strict=True)):
        raise BriefError(f"plot_least: {list(least)} is larger than plot_most, {list(most)}")
    check_outline(brief)
    _check_gallery(brief)
    _check_low(brief)
    if brief.service and brief.courts == 1:
        raise BriefError("service: a service court lies behind another, and courts = 1 leaves none")


def _check_gallery(brief: Brief) -> None:
    if not isinstance(brief.gallery, bool):
        check_number("gallery", brief.gallery)
    if brief.gallery and brief.storeys == 1:
        raise BriefError("gallery: it runs along upper rooms, and storeys = 1 leaves none")


def _check_low(brief: Brief) -> None:
    low = brief.low or ()
    if low and brief.storeys == 1:
        raise BriefError("low: with storeys = 1 every wing is low; leave it out")
    if len(set(low)) < len(low):
        raise BriefError("low: a wing stands twice; once will do")
    if set(low) == set(WINGS):
        raise BriefError("low: one wing has to stay two storeys high; or ask for storeys = 1")


def _check_roof(brief: Brief) -> None:
    wish = brief.roof
    if wish.profile is not None:
        profiles = [p["name"] for p in tables(brief.tradition)["roof"]["profiles"]]
        check_name("profile", wish.profile, profiles, where="roof.profile")
    check_number("roof.dormers", wish.dormers)
    for wing in ("left", "right", "cross"):
        if getattr(wish, wing) == "two-tier":
            raise BriefError(
                f"roof.{wing}: two-tier needs the width of a front or rear wing; try hip"
            )
    if wish.cross == "lean-to":
        raise BriefError(
            "roof.cross: a lean-to falls one way, and a cross wing lies between two courts; try gable"
        )


def _check_rooms(brief: Brief) -> None:
    kinds = tables(brief.tradition)["kind"]
    for n, wish in enumerate(brief.rooms):
        where = f"rooms[{n}]"
        for kind in (wish.kind, *wish.beside, *wish.beside_any, *wish.away):
            check_name("kind of room", kind, kinds, where=where)
        check_number("rooms.count", wish.count, where=f"{where}.count")
        check_number("rooms.storey", wish.storey, where=f"{where}.storey")
        for cells in wish.area or ():
            check_number("rooms.area", cells, where=f"{where}.area")
        if wish.area is not None and wish.area[0] > wish.area[1]:
            raise BriefError(
                f"{where}.area: {list(wish.area)} is not a least and a most, such as [9, 20]"
            )
    _check_room_for(brief)


def _check_room_for(brief: Brief) -> None:
    """Raises InfeasibleError where more rooms or cells are wished than the plot could ever hold."""
    plot = brief.land or rectangle(brief.plot_most or LARGEST_PLOT)
    storeys = brief.storeys or BOUNDS["storeys"][1]
    most, wished = most_rooms(plot, storeys), sum(wish.count for wish in brief.rooms)
    if wished > most:
        size = f"{plot.bounds.x1} x {plot.bounds.y1}" if plot.whole else f"{len(plot.cells())}"
        raise InfeasibleError(
            f"rooms: {wished} are wished, and no plot of {size} cells holds more than {most} "
            f"on {storeys} storeys",
            stage="rooms",
        )


def _check_plot(plot: tuple[int, int]) -> None:
    bounds = tuple(zip(plot, SMALLEST_PLOT, LARGEST_PLOT, strict=True))
    for (size, least, most), way in zip(bounds, ("wide", "deep"), strict=True):
        if not least <= size <= most:
            limit = f"at least {least}" if size < least else f"at most {most}"
            near = " x ".join(str(min(max(n, low), high)) for n, low, high in bounds)
            raise InfeasibleError(
                f"plot: {plot[0]} x {plot[1]} does not do, it must be {limit} cells {way}",
                stage="site",
                offers=(near,),
            )
