"""The data of a model on a page, and the script and style that show it.

A page takes three things from here: ``style()`` within a style element, ``script()`` within a script
element, and ``data_of(...)`` as JSON, which ``mountMaquette(place, data, {onStep})`` shows in an element
(see the head of ``controls.js``).
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping, Sequence
from importlib.resources import files

import msgspec
from msgspec import Struct

from genhouse.core.forms import bits_of
from genhouse.model.voxels import Voxels
from genhouse.outputs.pictures import picture
from genhouse.outputs.sheets.letters import letters_of
from genhouse.outputs.steps.steps import AXES, PROP, Row, Steps

SCRIPTS = ("cells.js", "view.js", "controls.js")
PROP_COLOUR = "#b5651d"
Called = Callable[[str, str], str]
YAW = {"south-east": 45, "south-west": -45, "north-west": -135, "north-east": 135}
"""Degrees that one turns to the left from looking north, to look at the house from a corner."""


class Kind(Struct, frozen=True):
    """A material in a form.  bits: what it fills of its cell, 16 hexadecimal digits (``core/forms.py``)."""

    material: str
    form: str
    colour: str
    bits: str


class Work(Struct, frozen=True):
    """A step.  rows: seven whole numbers for each run, in the order of placing: x, y, z, run, axis (0 is
    x), kind (from 1), room (0 for none)."""

    name: str
    rows: tuple[int, ...]


class Data(Struct, frozen=True, kw_only=True):
    """A house as its steps set it.

    size: cells along x, y, z.  ground: z of layer 1.  yaw: degrees to the left of north that one looks
    at first.  columns: letters of the cells along x.  levels: what each z is called.  rooms: names by
    number.  props: x, y, z, kind, and the steps that set and strike it.
    """

    size: tuple[int, int, int]
    ground: int
    yaw: int
    columns: tuple[str, ...]
    levels: tuple[str, ...]
    kinds: tuple[Kind, ...]
    rooms: dict[int, str]
    steps: tuple[Work, ...]
    props: tuple[tuple[int, int, int, int, int, int], ...]


def data_of(
    voxels: Voxels,
    steps: Steps,
    *,
    titles: Sequence[str],
    levels: Sequence[str],
    ground: int,
    rooms: Mapping[int, str],
    called: Called,
) -> Data:
    """The data of a house.  titles: of its steps.  levels: what each layer is called.  rooms: names by
    number.  called: what a builder calls a material, given its name and a form's."""
    kinds = _Kinds(voxels, called)
    works = tuple(
        Work(title, tuple(n for row in steps.rows_of(step) for n in _run(row, kinds)))
        for step, title in zip(steps.steps, titles, strict=True)
    )
    return Data(
        size=voxels.size,
        ground=ground,
        yaw=YAW[picture.SUNNY_SIDE[picture.gate_side(voxels)]],
        columns=tuple(map(letters_of, range(voxels.size[0]))),
        levels=tuple(levels),
        rooms=dict(rooms),
        steps=works,
        props=tuple(_props(steps, kinds)),
        kinds=tuple(kinds.found),
    )


def in_page(data: Data) -> str:
    """Data as JSON in ASCII that may stand in a script element."""
    text = msgspec.json.encode(data).decode()
    return (text if text.isascii() else json.dumps(json.loads(text))).replace("<", "\\u003c")


def script() -> str:
    """What defines ``mountMaquette``."""
    return "\n".join(_beside(name) for name in SCRIPTS)


def style() -> str:
    return _beside("maquette.css")


def _beside(name: str) -> str:
    return (files("genhouse.outputs.maquette") / name).read_text("utf-8")


class _Kinds:
    """Kinds as they are met, numbered from 1."""

    def __init__(self, voxels: Voxels, called: Called) -> None:
        about = voxels.about
        self._called = called
        self._colours = {PROP: PROP_COLOUR, **{m.name: m.colour for m in about.materials}}
        self._bits = {
            form.name: f"{bits_of(shape):016x}"
            for form, shape in zip(about.forms, voxels.shapes, strict=True)
        }
        self._numbers: dict[tuple[str, str], int] = {}
        self.found: list[Kind] = []

    def number(self, row: Row) -> int:
        key = row.material, row.form
        if key not in self._numbers:
            name, colour = self._called(*key), self._colours[row.material]
            self.found.append(Kind(name, row.form, colour, self._bits[row.form]))
            self._numbers[key] = len(self.found)
        return self._numbers[key]


def _run(row: Row, kinds: _Kinds) -> tuple[int, ...]:
    """A row's numbers; none of a temporary piece."""
    if row.support:
        return ()
    return row.x, row.y, row.z, row.run, AXES.index(row.axis), kinds.number(row), row.room


def _props(steps: Steps, kinds: _Kinds) -> Iterator[tuple[int, int, int, int, int, int]]:
    """Temporary pieces, cell by cell, each with the steps that set and strike it."""
    stands: dict[tuple[int, int, int], int] = {}
    for row in steps.rows:
        for place in _cells(row) if row.support else ():
            if row.support == "set":
                stands[place] = row.step
            else:
                yield *place, kinds.number(row), stands.pop(place), row.step


def _cells(row: Row) -> Iterator[tuple[int, int, int]]:
    along = AXES.index(row.axis)
    for n in range(row.run):
        x, y, z = (at + n * (axis == along) for axis, at in enumerate((row.x, row.y, row.z)))
        yield x, y, z
