"""A saved house is read, never designed anew: what was saved is the house."""

from __future__ import annotations

import dataclasses
import json
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from functools import cache
from pathlib import Path
from typing import Any
from unittest.mock import patch

import numpy as np
import pytest

from genhouse.core.axes import SIDES, Turn
from genhouse.core.box import Rect
from genhouse.core.digest import digest
from genhouse.core.errors import InfeasibleError, UnreadableError, VersionError
from genhouse.house import House, load, make
from genhouse.model.brief import Brief, Recipe, RoofWish
from genhouse.model.roof import WINGS
from genhouse.outputs import members
from genhouse.outputs.arrays import voxels_bytes
from genhouse.outputs.bill import bill
from genhouse.outputs.document._drawn import drawn
from genhouse.outputs.document.document import document, laid_out, record
from genhouse.outputs.document.reading import read_design, read_recipe, read_told
from genhouse.outputs.glb import glb_bytes
from genhouse.outputs.plans.plan import plans
from genhouse.outputs.plans.room_diagram import room_diagram
from genhouse.traditions.sense import YARDS
from genhouse.traditions.shelf import GARDENS, tables
from tests.outputs.houses import built, designed

PALETTES = sorted(tables("timber")["palette"])
ARRAYS = ("material", "form", "stage", "room", "shapes")


def varied(n: int) -> Recipe:
    """Houses of every gate side, mirrored and not, of one storey and two, of one court and more."""
    brief = Brief(
        plot=(24 + n % 9, 30 + n) if n % 2 else None,
        gate=SIDES[n % 4],
        mirror=n % 3 == 0,
        storeys=1 + (n % 5 > 0),
        courts=2 if n % 7 == 6 else None,
        garden=GARDENS[n % 7] if n % 3 else None,
        palette=PALETTES[n % len(PALETTES)] if n % 3 == 1 else None,
        roof=RoofWish(form="hip" if n % 6 == 1 else None),
    )
    return Recipe(seed=n, brief=brief, stage_seeds=(("fittings", 5),) if n % 4 == 3 else ())


@contextmanager
def nothing_designs() -> Iterator[None]:
    """Whoever designs, or looks at what a tradition says today, fails."""
    with ExitStack() as shut:
        for name in ("generate.recipe.design_house", "sound.design_house"):
            shut.enter_context(patch(f"genhouse.{name}", side_effect=AssertionError(name)))
        name = "genhouse.traditions.loader.load_tradition"
        shut.enter_context(patch(name, side_effect=AssertionError(name)))
        yield


def put(house: House, folder: Path) -> Path:
    """A house as its folder holds it, without what is only to look at."""
    folder.mkdir(exist_ok=True)
    (folder / "house.json").write_bytes(document(house.plan, house.voxels, ()))
    (folder / "house.npz").write_bytes(voxels_bytes(house.voxels))
    return folder


@pytest.mark.parametrize("n", range(20))
def test_a_house_that_is_read_is_the_house_that_was_saved(tmp_path: Path, n: int) -> None:
    house = make(varied(n))
    folder = put(house, tmp_path / "kept")
    with nothing_designs():
        again = load(folder)
        assert again.plan == house.plan
        assert digest(again.plan) == digest(house.plan)  # types all the way down, too
        assert all(isinstance(rect, Rect) for rect in again.plan.wings)
        for name in ARRAYS:
            assert np.array_equal(getattr(again.voxels, name), getattr(house.voxels, name))
        assert (again.voxels.about, again.notes, again.edited) == (house.voxels.about, (), ())
        assert told(again) == told(house)
        text = laid_out(record(again.plan, again.voxels, (), again.figures()))
        assert text == (folder / "house.json").read_bytes()


def told(house: House) -> list[Any]:
    """What outputs say of it, but for pictures."""
    return [
        plans(house.plan),
        members.members(house.plan),
        bill(house.voxels),
        glb_bytes(house.voxels),
    ]


@pytest.mark.parametrize("n", [2, 6])
def test_every_file_of_a_house_that_is_read_is_the_same_to_the_byte(tmp_path: Path, n: int) -> None:
    house = make(varied(n))
    first = house.files()
    for name in ("house.json", "house.npz"):
        (tmp_path / name).write_bytes(first[name])
    with nothing_designs():
        again = load(tmp_path)
        assert room_diagram(again.plan, again.figures()).encode() == first["rooms.svg"]
        assert again.files() == first


@pytest.mark.parametrize("quarters", range(4))
@pytest.mark.parametrize("mirror", [False, True])
def test_a_turn_is_taken_back(quarters: int, mirror: bool) -> None:
    turn = Turn(5, 7, quarters, mirror)
    assert turn.inverse.inverse == turn
    assert turn.inverse.size == (5, 7)
    rect = Rect(0, 1, 3, 6)
    assert turn.inverse.rect(turn.rect(rect)) == rect


def test_a_house_changed_by_hand_keeps_its_plan_and_says_what_was_changed(tmp_path: Path) -> None:
    house = make(varied(3))
    form = house.voxels.form.copy()
    material, stage = house.voxels.material.copy(), house.voxels.stage.copy()
    x, y, z = np.argwhere(stage == house.voxels.about.stages.index("roof"))[0]
    for array in (form, material, stage):
        array[x, y, z] = 0
    now = dataclasses.replace(house.voxels, form=form, material=material, stage=stage)
    put(House(house.plan, now), tmp_path)
    (tmp_path / "house.json").write_bytes(document(house.plan, house.voxels, ()))
    again = load(tmp_path)
    assert again.plan == house.plan
    assert again.voxels.form[x, y, z] == 0 != house.voxels.form[x, y, z]
    assert again.edited == ("roof",)
    assert len(again.notes) == 1
    assert "roof" in again.notes[0]
    assert again.figures().solid == house.figures().solid - 1
    # Saved as it is now, it still says so, and is read without measuring it again.
    kept = put(again, tmp_path / "again")
    assert json.loads((kept / "house.json").read_bytes())["edited"] == ["roof"]
    once_more = load(kept)
    assert once_more.edited == ("roof",)
    assert once_more.notes
    measured = again.figures()
    with nothing_designs():
        assert once_more.figures() == measured
    assert (
        "Changed by hand after it was designed: roof." in once_more.files()["guide.html"].decode()
    )


def test_a_room_renumbered_by_hand_is_seen() -> None:
    house = make(varied(3))
    room = np.where(house.voxels.room == 1, 2, house.voxels.room).astype(np.uint16)
    assert House(house.plan, dataclasses.replace(house.voxels, room=room)).edited == ("rooms",)


def test_files_of_two_houses_are_no_house(tmp_path: Path) -> None:
    put(make(varied(1)), tmp_path)
    (tmp_path / "house.npz").write_bytes(voxels_bytes(make(varied(2)).voxels))
    with pytest.raises(UnreadableError, match="of two houses"):
        load(tmp_path)


@cache
def saved() -> str:
    return document(designed(7), built(7), ()).decode()


def changed(folder: Path, **keys: Any) -> Path:
    folder.mkdir(exist_ok=True)
    value = json.loads(saved()) | keys
    (folder / "house.json").write_text(json.dumps({k: v for k, v in value.items() if v is not ...}))
    (folder / "house.npz").write_bytes(voxels_bytes(built(7)))
    return folder


NEW = (
    "drawn",
    "turn",
    "segments",
    "stairs",
    "covers",
    "palette",
    "cautions",
    "fewest_lamps",
    "edited",
)
"""What versions before had not, or not in this way."""


@pytest.mark.parametrize("version", [1, 2, 3, 99])
def test_another_version_is_said_and_its_cells_and_figures_are_shown(
    tmp_path: Path, version: int
) -> None:
    folder = changed(tmp_path, version=version, **dict.fromkeys(NEW, ...), new={"a": [1]})
    for reads in (read_design, read_recipe):
        with pytest.raises(VersionError, match=f"version {version} of the format"):
            reads(folder)
    figures, note = read_told(folder)
    assert f"version {version}" in note
    assert figures.metrics.solid == np.count_nonzero(built(7).form)
    house = load(folder)
    assert house.notes == (note,)
    assert not house.designed
    assert house.picture(size=(60, 50)).size == (60, 50)
    assert house.inspect().clean
    assert sum(line.count for line in house.bill()) == figures.metrics.solid
    asking = (lambda: house.plan, lambda: house.recipe, lambda: house.edited)
    for ask in (*asking, house.figures, house.files, lambda: house.save(tmp_path / "again")):
        with pytest.raises(VersionError, match=f"version {version}"):
            ask()
    assert not (tmp_path / "again").exists()


PART = {"stage": "roof", "role": "tile", "form": "whole", "box": [0, 0, 0, 1, 1, 1]}
PLACED = {
    "name": "bed",
    "room": 999,
    "cells": [1, 1, 2, 2],
    "floor": 3,
    "facing": "east",
    "use": [],
}


@pytest.mark.parametrize(
    ("keys", "said"),
    [
        ({"parts": [PART | {"stage": "cellar"}]}, "no building stage 'cellar'"),
        ({"parts": [PART | {"role": "cheese"}]}, "nothing for the role 'cheese'"),
        ({"parts": [PART | {"form": "cloud"}]}, "no form is called 'cloud'"),
        ({"parts": [PART | {"box": [0, 0, 0, 10**9, 10**9, 9]}]}, "do not fill"),
        ({"parts": [PART | {"box": [5, 5, 5, 4, 5, 5]}]}, "do not fill"),
        ({"parts": [PART | {"box": [-1, 0, 0, 1, 1, 1]}]}, "lies outside"),
        ({"plot": [10**9, 10**9]}, "no house measures"),
        ({"courts": [[5, 5, 5, 9]]}, r"\[5, 5, 5, 9\] is no rectangle on its plot"),
        ({"wings": [[-1, 0, 5, 9]]}, "is no rectangle on its plot"),
        ({"outline": [[0, 0], [9, 0], [9, 9]]}, "its outline is none: it has 3 corners"),
        ({"outline": [[0, 0], [9, 0], [9, 9], [0, 9]]}, "its outline does not measure"),
        ({"outline": [[n, 0] for n in range(99)]}, "its outline has more than 32 corners"),
        ({"height": 0}, "no house measures"),
        ({"rooms": []}, "room"),
        ({"courts": []}, "no court"),
        ({"placed": [PLACED]}, "names a room"),
        ({"covers": ...}, "covers"),
        ({"turn": {"quarters": 7, "mirror": False}}, "quarters"),
        ({"palette": {"name": "x", "materials": [], "roles": {"post": "gold"}}}, "palette"),
    ],
)
def test_what_does_not_go_together_is_said(tmp_path: Path, keys: dict[str, Any], said: str) -> None:
    with pytest.raises(UnreadableError, match=said) as error:
        read_design(changed(tmp_path, **keys))
    assert "\n" not in str(error.value)


def test_fractions_are_read_as_they_are_written(tmp_path: Path) -> None:
    covers = json.loads(saved())["covers"]
    for wrong in ("1/0", "x", "1/2/3", 0.5, "9" * 5000):
        covers[0]["courses"][0] = wrong
        with pytest.raises(UnreadableError, match="courses"):
            read_design(changed(tmp_path, covers=covers))


ASKED = {
    "client",
    "tradition",
    "light",
    "rooms",
    "people",
    "trade",
    "plot_least",
    "plot_most",
    "sides",
    "ground",
}
"""Keys of a brief that leave nothing to the seed, or whose answer is told elsewhere."""


def test_everything_that_a_brief_may_leave_open_is_recorded() -> None:
    said = drawn(designed(7))
    names = {"gardens" if f.name == "garden" else f.name for f in dataclasses.fields(Brief)} - ASKED
    assert names <= set(said.__struct_fields__)
    wings = {f.name for f in dataclasses.fields(RoofWish)} - set(said.roof.__struct_fields__)
    assert wings == {"form", "front", "cross", "rear", "left", "right"}  # in ``forms``


@pytest.mark.parametrize("seed", range(8))
def test_what_was_drawn_asked_for_gives_a_house_that_has_it(seed: int) -> None:
    """An outside view of the record: in the brief's own words, so a brief can say it."""
    first = drawn(make(Recipe(seed=seed)).plan)
    brief = Brief(
        **{name: getattr(first, name) for name in ("plot", "gate", "mirror", "palette")},
        **{name: getattr(first, name) for name in ("storeys", "service", "arrangement")},
        **{name: getattr(first, name) for name in ("closed", "courts") if not yard(first)},
        low=low(first),
        gallery=first.gallery or False,
        garden=first.gardens[0] if len(first.gardens) == 1 else None,
        roof=RoofWish(
            profile=first.roof.profile,
            swept=first.roof.swept,
            dormers=first.roof.dormers,
            **dict(named(first)),
        ),
    )
    try:
        second = drawn(make(Recipe(seed=seed, brief=brief)).plan)
    except InfeasibleError as error:
        pytest.skip(f"another layout was chosen: {error}")
    assert dataclasses_equal(first, second)


def yard(record: Any) -> bool:
    """Whether its arrangement says how many courts there are."""
    return record.arrangement in YARDS


def low(record: Any) -> tuple[str, ...]:
    """The lower wings that a brief can name."""
    return tuple(wing for wing in record.low if wing in WINGS)


def named(record: Any) -> tuple[tuple[str, str], ...]:
    """The forms of the wings that a brief can name."""
    return tuple((wing, form) for wing, form in record.roof.forms if wing in WINGS)


def dataclasses_equal(first: Any, second: Any) -> bool:
    """But for which gardens several courts have, and wings that no brief can name."""
    known = set(first.__struct_fields__) - {"gardens", "roof", "low"}
    plain = {name: getattr(first, name) for name in known}
    roof = {n: getattr(first.roof, n) for n in first.roof.__struct_fields__ if n != "forms"}
    same = all(getattr(second, name) == value for name, value in plain.items())
    same = same and all(getattr(second.roof, name) == value for name, value in roof.items())
    gardens = len(first.gardens) > 1 or first.gardens == second.gardens
    return same and gardens and low(first) == low(second) and named(first) == named(second)
