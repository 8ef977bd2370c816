"""The public face of a house: a design and its cells, and what can be asked of them."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any, SupportsIndex

from genhouse.core.digest import canonical
from genhouse.core.errors import BriefError, UnreadableError, VersionError, WriteError
from genhouse.generate import taken
from genhouse.inspection import Report, Row, walked
from genhouse.inspection import inspect as examine
from genhouse.model.brief import LAMPLIGHT, Brief, Recipe
from genhouse.model.design import Design
from genhouse.model.raster import edited
from genhouse.model.record import Record
from genhouse.model.voxels import Voxels
from genhouse.sound import sound
from genhouse.traditions.loader import load_tradition

if TYPE_CHECKING:
    import networkx as nx
    from PIL.Image import Image

    from genhouse.outputs.bill import Line
    from genhouse.outputs.figures._tables import Figures
    from genhouse.outputs.names import Names
    from genhouse.outputs.plans.light_field import RoomLight


LARGEST_PICTURE = 8192
"""Pixels along a side."""
MOST_IN_A_BUNDLE = 10_000
HIGHEST_LIGHT = 6
"""Quarter cells above the floor at which light is measured, at most."""


@dataclass(frozen=True, eq=False, repr=False)
class House:
    """A house.  In a notebook it shows itself.

    voxels: its cells.  notes: what to know of a saved one, a sentence each: that its cells were
    changed by hand, or that its design is of another version of the format, and cannot be read.

    Houses are equal where their digests are: the same cells, and the same said of them.

    >>> house = design(7)
    >>> house == make(house.recipe) and house != design(8)
    True
    >>> house.graph.nodes[0]["kind"]
    'outside'
    """

    _plan: Design | str
    voxels: Voxels
    notes: tuple[str, ...] = ()
    _figures: Figures | None = None
    _report: Report | None = None
    _record: Record | None = None
    _rows: tuple[Row, ...] | None = None

    @property
    def plan(self) -> Design:
        """Its design.  Raises VersionError where that was saved in another version of the format."""
        if isinstance(self._plan, str):
            raise VersionError(self._plan)
        return self._plan

    @property
    def designed(self) -> bool:
        """Whether its design is at hand, not its cells alone."""
        return not isinstance(self._plan, str)

    @property
    def recipe(self) -> Recipe:
        """What this house is made from.  Raises as ``plan`` does."""
        return self.plan.recipe

    @property
    def edited(self) -> tuple[str, ...]:
        """The building stages whose cells are not what the plan's parts set: changed by hand.

        ``rooms`` and ``tables`` too, where the cells' rooms or what their numbers stand for differ.
        Raises as ``plan`` does.
        """
        return edited(self.plan, self.voxels)

    @property
    def finishes(self) -> dict[str, str]:
        """How each material's surface is drawn, by its name; plainly where nothing says how."""
        materials = self.plan.palette.materials if self.designed else ()
        return {material.name: material.finish for material in materials}

    @cached_property
    def digest(self) -> str:
        """SHA-256 of all that ``house.npz`` says, as 64 hexadecimal digits; its version apart."""
        v = self.voxels
        hashed = hashlib.sha256(canonical(replace(v.about, version=0)))
        for array in (v.material, v.form, v.stage, v.room, v.shapes):
            hashed.update(array.astype("<u2").tobytes())
        return hashed.hexdigest()

    def __eq__(self, other: object) -> bool:
        return self.digest == other.digest if isinstance(other, House) else NotImplemented

    def __hash__(self) -> int:
        return hash(self.digest)

    def __repr__(self) -> str:
        about, (width, depth, _) = self.voxels.about, self.voxels.size
        rooms = sum(room.indoor for room in about.rooms)
        return f"<House {about.seed}: {width} x {depth} cells, {rooms} rooms, {self.digest[:8]}>"

    def _repr_pretty_(self, printer: Any, _cycle: bool) -> None:
        """As hypothesis and notebooks print it: by its name, not by all that it holds."""
        printer.text(repr(self))

    @property
    def graph(self) -> nx.Graph:
        """Its rooms by id, 0 for outside, and the ways between them, as a networkx graph.

        Of a room: ``kind``, ``level``, ``area`` in cells, ``indoor``, ``walkable``, and ``depth``, how
        many rooms it lies from outside.  Of an edge: ``kind`` of the way, ``ways``, the kinds of all
        where there are several, and ``segments``, the numbers of their wall segments in the plan.
        Raises as ``plan`` does.
        """
        from genhouse.outputs.document.document import room_graph

        return room_graph(self.plan)

    def inspect(self) -> Report:
        """Check the cells against each of the inspection's CHECKS; a house that was read from a folder also
        against what was recorded of it, and against its materials list.

        A new house was inspected when it was made, and keeps its report.
        """
        if self._report is not None:
            return self._report
        outline = self.plan.outline if self.designed else ()
        return examine(
            self.voxels, rows=self._rows, record=self._record, light=self._least, outline=outline
        )

    def picture(
        self,
        kind: str = "outside",
        *,
        size: Sequence[SupportsIndex] = (1000, 900),
        night: bool = False,
    ) -> Image:
        """An isometric picture: ``outside``, ``inside`` (cut open above the lower floor) or ``court``.

        size: width and height in pixels.  night: with lamps lit.  Raises BriefError for another kind.
        """
        from genhouse.outputs.pictures import picture

        if kind not in tuple(picture.LOOKS):
            raise BriefError(f"picture: it is outside, inside or court, not {kind!r}")
        pixels = taken.plain(size)
        if not isinstance(pixels, list) or len(pixels) != 2:
            raise BriefError(f"size: {size!r} is not a width and a height in pixels")
        wide, high = (taken.whole("size", n, 1, LARGEST_PICTURE) for n in pixels)
        return picture.seen(self.voxels, kind, self.finishes, size=(wide, high), night=bool(night))

    def bill(self) -> tuple[Line, ...]:
        """The materials list: counts by stage, material and piece."""
        from genhouse.outputs.bill import bill

        return bill(self.voxels)

    def figures(self) -> Figures:
        """What is measured of it: rooms and their graph, courts, roof, openings, pieces.

        Of a saved house, as it was measured when it was saved, unless its cells were changed since.
        """
        from genhouse.outputs.figures.figures import figures

        return self._figures or figures(self.plan, self.voxels)

    @property
    def _least(self) -> int:
        """Lux that every floor indoors is to have."""
        return self.recipe.brief.light if self.designed else LAMPLIGHT

    def light(self, above: SupportsIndex = 0) -> tuple[RoomLight, ...]:
        """How bright each room, court and veranda is at night, cell by cell, wherever one walks.

        above: quarter cells from the floor to the level that is lit, 0 to 6.  Raises BriefError.
        """
        from genhouse.outputs.plans.light_field import house_light

        level = taken.whole("above", above, 0, HIGHEST_LIGHT)
        return house_light(self.voxels, walked(self.voxels), level, self._least)

    def save(
        self,
        folder: str | os.PathLike[str],
        *,
        force: int = False,
        names: str | os.PathLike[str] | None = None,
        bundle: SupportsIndex = 64,
    ) -> Path:
        """Write the whole folder, or nothing.

        force: replace an earlier genhouse folder; 2: also where its files were changed since.  A
        user's own files in it are kept.  names, bundle: as of ``files``.  Raises WriteError, and
        UnreadableError for a table of names.
        """
        from genhouse.outputs.files import check_target, write_folder

        target = taken.path_of("folder", folder, WriteError)
        check_target(target, force=force)
        write_folder(target, self.files(names=names, bundle=bundle), force=force)
        return target

    def files(
        self, *, names: Names | str | os.PathLike[str] | None = None, bundle: SupportsIndex = 64
    ) -> dict[str, bytes]:
        """The files of its folder, by name.

        names: a table of the builder's own names, as CSV: material, form or ``*``, name; or as it was read.
        bundle: pieces that are fetched together, 1 to 10,000.  Raises UnreadableError and BriefError.
        """
        from genhouse.outputs.folder import folder_files

        own = self.names(names) if isinstance(names, (str, os.PathLike)) else names
        size = taken.whole("bundle", bundle, 1, MOST_IN_A_BUNDLE)
        return folder_files(
            self.plan, self.voxels, self._checks, self._figures, names=own, bundle=size
        )

    def names(self, file: str | os.PathLike[str]) -> Names:
        """A builder's own names for what this way of building has.  Raises UnreadableError."""
        from genhouse.outputs.names import read_names

        known = load_tradition(self.recipe.brief.tradition).materials
        path = taken.path_of("names", file, UnreadableError)
        return read_names(path, [name for name, _ in known])

    def _checks(self) -> tuple[dict[str, Any], ...]:
        """What the cells alone say, whether the house was read or designed: as a document has it."""
        plan, light = self.plan, self.recipe.brief.light
        report = self._report or examine(self.voxels, light=light, outline=plan.outline)
        return report.plain()

    def _repr_html_(self) -> str:
        """As a notebook shows it: its picture, its plans and its figures."""
        from genhouse.outputs.notebook import SIZE, shown

        return shown(repr(self), self.picture(size=SIZE), self.plan, self.figures())

    def _repr_png_(self) -> bytes:
        from genhouse.outputs.pictures import picture

        return picture.png(self.picture())


def design(
    seed: SupportsIndex,
    brief: Brief | Mapping[str, Any] | str | os.PathLike[str] | None = None,
    **stage_seeds: SupportsIndex,
) -> House:
    """Design a house from a seed.

    seed: a whole number of 64 bits.  brief: a Brief, its keys and values, or the path of a TOML file.
    stage_seeds: a seed of its own for a stage (``fittings=3``); all stages before stay as they were.
    Raises BriefError or InfeasibleError.

    >>> design(7, {"plot": (23, 32), "gate": "south"}, fittings=3).plan.plot
    (23, 32)
    """
    return make(taken.recipe_of(seed, brief, stage_seeds))


def make(recipe: Recipe) -> House:
    """The first sound house of a recipe: a pure function.  Raises as ``design`` does.

    >>> make(Recipe(seed=7, brief=Brief(plot=(23, 32)))).recipe.seed
    7
    """
    found = sound(taken.recipe_again(recipe))
    return House(found.plan, found.voxels, _report=found.report)


def inspect(house: House | str | os.PathLike[str]) -> Report:
    """The inspector's report on a house, or on a saved one in its folder.

    Raises BriefError for what is neither, and UnreadableError.

    >>> inspect(design(7)).clean
    True
    """
    if isinstance(house, House):
        return house.inspect()
    return load(taken.path_of("inspect", house, BriefError)).inspect()


def load(folder: str | os.PathLike[str]) -> House:
    """Read a saved house: its design as it was saved, and its cells as they now are.

    Nothing is designed anew.  Where the design was saved in another version of the format the cells
    are still read, and the house's ``notes`` say so.  Raises UnreadableError.

    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as place:
    ...     load(design(7).save(f"{place}/house")) == design(7)
    True
    """
    from genhouse.model.digests import digests
    from genhouse.outputs.arrays import read_voxels
    from genhouse.outputs.document.reading import design_of, read_saved, record_of

    path = taken.path_of("folder", folder, UnreadableError)
    voxels = read_voxels(path / "house.npz")
    rows, notes = _listed(path / "materials.csv")
    try:
        saved = read_saved(path / "house.json")
    except VersionError as error:
        return House(str(error), voxels, (str(error), *notes), _rows=rows)
    plan = design_of(path, saved)
    if (*plan.plot, plan.height) != voxels.size or plan.recipe.seed != voxels.about.seed:
        raise UnreadableError(f"{path} is no house: house.json and house.npz are of two houses")
    changed = edited(plan, voxels)
    as_saved = changed == saved.edited and digests(voxels)[1] == saved.digests.whole
    if changed:
        notes = (_changed(path, changed), *notes)
    return House(
        plan,
        voxels,
        notes,
        saved.metrics if as_saved else None,
        _record=record_of(saved, plan),
        _rows=rows,
    )


def _listed(file: Path) -> tuple[tuple[Row, ...] | None, tuple[str, ...]]:
    """A folder's materials list, where there is one; what to know of it where it cannot be read."""
    from genhouse.outputs.bill import read_rows

    try:
        return (read_rows(file) if file.exists() else None), ()
    except UnreadableError as error:
        return None, (str(error),)


def _changed(path: Path, what: tuple[str, ...]) -> str:
    return (
        f"{path / 'house.npz'} is not as its design has it, in {', '.join(what)}: pictures, counts and "
        "light are of the cells as they are, plans and rooms as they were designed"
    )
