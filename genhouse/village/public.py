"""The public face of a village."""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any, SupportsIndex

from genhouse.core.errors import BriefError, WriteError
from genhouse.core.system import give_back_large
from genhouse.generate import taken
from genhouse.house import House, make
from genhouse.model.brief import Brief
from genhouse.traditions.shelf import weighed
from genhouse.village.layout import Site, Village, Wanted, build, lay_site
from genhouse.village.people import Customs
from genhouse.village.plots import Plot
from genhouse.village.store import Lazy
from genhouse.village.terrain import checked_size, given_land, given_mask

if TYPE_CHECKING:
    import networkx as nx
    import numpy.typing as npt
    from PIL.Image import Image

MOST_HOUSES = 5000
PICTURES = ("map", "night", "plan")


@dataclass(frozen=True, eq=False, repr=False)
class MadeVillage:
    """A village.  In a notebook it shows itself.

    lanes: a networkx graph of junctions (``x``, ``y`` in cells) and lanes (``kind``, ``length`` in cells,
    ``grade`` in hundredths).  plots: where houses stand.  roster: a row a house.  arrays: the cells by
    name, [X, Y, Z], made as they are asked for.
    """

    plan: Village
    _walked: dict[str, Any] = field(default_factory=dict)

    @property
    def seed(self) -> int:
        return self.plan.site.wanted.seed

    @cached_property
    def lanes(self) -> nx.MultiGraph:
        return self.plan.site.lanes.graph()

    @property
    def plots(self) -> tuple[Plot, ...]:
        return self.plan.site.plots

    @cached_property
    def roster(self) -> tuple[dict[str, Any], ...]:
        from genhouse.village.roster import rows

        return tuple(rows(self.plan))

    @property
    def houses(self) -> Houses:
        """The houses in the order of their numbers, each made when it is asked for."""
        return Houses(self.plan)

    @cached_property
    def arrays(self) -> Lazy:
        return Lazy(self.plan.world)

    def picture(self, kind: str = "map", *, width: SupportsIndex = 2800) -> Image:
        """``map``, from aslant; ``night``, with lamps lit; or ``plan``, from above.

        width: pixels, of the first two.  Raises BriefError for another kind.
        """
        from genhouse.village.cells import cells
        from genhouse.village.shown import Shown
        from genhouse.village.store import boxes

        if kind not in PICTURES:
            raise BriefError(f"picture: it is map, night or plan, not {kind!r}")
        pixels = taken.whole("width", width, 100, 8192)
        world = self.plan.world
        if "shown" not in self._walked:
            begun = Shown.begun(self.plan)
            pieces = ((box, cells(world, box)) for box in boxes(world))
            look = (begun.eye.glimpse(*piece, world.matter) for piece in pieces)
            self._walked["shown"] = begun.walked(look)
        shown: Shown = self._walked["shown"]
        if kind == "plan":
            return shown.plan()
        return shown.map(shown.light(), shown.sheet(pixels), night=kind == "night")

    def __repr__(self) -> str:
        wide, deep = self.plan.site.wanted.size
        return f"<Village {self.seed}: {wide} x {deep} cells, {len(self.plots)} houses>"

    def _repr_png_(self) -> bytes:
        from genhouse.outputs.pictures.picture import png

        return png(self.picture(width=1400))


class Houses:
    """A row of houses, from 0; number ``n`` of the roster is at ``n - 1``."""

    def __init__(self, plan: Village) -> None:
        self._plan = plan

    def __len__(self) -> int:
        return len(self._plan.houses)

    def __getitem__(self, n: int) -> House:
        return make(self._plan.houses[n].recipe)


def village(
    seed: SupportsIndex,
    size: tuple[SupportsIndex, SupportsIndex] = (512, 512),
    houses: SupportsIndex = 40,
    *,
    brief: Brief | Mapping[str, Any] | str | os.PathLike[str] | None = None,
    traditions: Mapping[str, int] | None = None,
    terrain: npt.ArrayLike | str | os.PathLike[str] | None = None,
    units: float = 1.0,
    keep_out: npt.ArrayLike | str | os.PathLike[str] | None = None,
    processes: int | None = None,
) -> MadeVillage:
    """Lay out a village from a seed.

    size: cells east and north.  houses: how many.  brief: what all of them ask for.
    traditions: ways of building, each with its weight.  terrain: heights of your own, [X, Y] or an image,
    one a cell, in ``units`` cells; what is not above 0 is under water.
    keep_out: where it is not 0 nothing is built.  processes: that help.
    Raises BriefError, and InfeasibleError where the ground has no room for so many houses.

    >>> made = village(7, size=(192, 192), houses=2)
    >>> len(made.plots), len(made.houses)
    (2, 2)
    """
    ways = weighed(traditions or {})
    laid = site(seed, size, houses, brief, terrain, units, keep_out, ways)
    return MadeVillage(build(laid, processes=processes))


def site(
    seed: SupportsIndex,
    size: Any,
    houses: SupportsIndex,
    brief: Any = None,
    terrain: Any = None,
    units: float = 1.0,
    keep_out: Any = None,
    traditions: tuple[tuple[str, int], ...] = (),
) -> Site:
    """A village before its houses.  Raises as ``village`` does."""
    check_extra()
    give_back_large()
    number = taken.whole("seed", seed)
    many = taken.whole("houses", houses, 1, MOST_HOUSES)
    wide, deep = checked_size(size)
    wanted = Wanted(
        seed=number,
        size=(wide, deep),
        houses=many,
        customs=Customs(base=taken.brief_of(brief), traditions=traditions),
    )
    if terrain is not None:
        land, grid = given_land(terrain, units)
        wanted = replace(wanted, land=land, size=grid)
    if keep_out is not None:
        wanted = replace(wanted, keep_out=given_mask(keep_out, wanted.size))
    return lay_site(wanted)


def check_extra() -> None:
    """Raises BriefError where what villages need beside the rest is not installed."""
    from importlib.util import find_spec

    missing = [name for name in ("scipy", "skimage", "zarr") if find_spec(name) is None]
    if missing:
        raise BriefError(
            f"village: it needs {', '.join(missing)}; pip install 'genhouse[village]' brings that"
        )


def save(made: Site, folder: str | os.PathLike[str], **options: Any) -> Path:
    """Write the folder of a village: see ``folder.write_village``."""
    from genhouse.village.folder import write_village

    target = taken.path_of("folder", folder, WriteError)
    write_village(made, target, **options)
    return target
