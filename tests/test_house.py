"""The public face of a house."""

from __future__ import annotations

import dataclasses
import itertools
import pickle
import re
from collections.abc import Callable
from pathlib import Path
from types import MappingProxyType

import numpy as np
import pytest

import genhouse
from genhouse import Brief, House, Recipe, design, load
from genhouse.core.errors import BriefError, InfeasibleError, UnreadableError, WriteError
from genhouse.house import make

SMALL = {"plot": (20, 24), "gate": "south"}


def test_a_brief_may_be_a_value_a_mapping_or_a_file(tmp_path: Path) -> None:
    path = tmp_path / "brief.toml"
    path.write_text('plot = [20, 24]\ngate = "south"\n', "utf-8")
    houses = [
        design(5, brief) for brief in (Brief(plot=(20, 24), gate="south"), SMALL, path, str(path))
    ]
    assert len({house.voxels.form.tobytes() for house in houses}) == 1
    assert all(
        house.recipe == Recipe(seed=5, brief=Brief(plot=(20, 24), gate="south")) for house in houses
    )


def test_a_stage_may_have_a_seed_of_its_own() -> None:
    house = design(5, SMALL, lamps=3, fittings=2)
    assert house.recipe.stage_seeds == (("fittings", 2), ("lamps", 3))
    assert house.recipe.seed_of("fittings") == 2
    assert house.recipe.seed_of("roof") == 5


def test_what_is_wrong_is_raised_by_name() -> None:
    with pytest.raises(BriefError, match="stage 'attic'"):
        design(5, attic=3)
    with pytest.raises(InfeasibleError):
        design(5, {"plot": [3, 3]})
    with pytest.raises(BriefError):
        design(-5)
    with pytest.raises(genhouse.GenhouseError):
        design(5, {"gate": "up"})


def test_a_house_is_saved_and_loaded_as_it_was(tmp_path: Path) -> None:
    house = design(5, SMALL)
    folder = house.save(tmp_path / "kept")
    again = load(folder)
    assert again.plan == house.plan
    for name in ("material", "form", "stage", "room", "shapes"):
        assert np.array_equal(getattr(again.voxels, name), getattr(house.voxels, name))
    assert again.voxels.about == house.voxels.about
    with pytest.raises(UnreadableError):
        load(tmp_path)


def test_a_house_is_inspected_counted_and_drawn() -> None:
    house = design(5, SMALL)
    assert house.inspect().clean
    assert sum(line.count for line in house.bill()) == int((house.voxels.form > 0).sum())
    assert house._repr_png_().startswith(b"\x89PNG\r\n\x1a\n")
    assert set(house.finishes) == {m.name for m in house.voxels.about.materials[1:]}
    with pytest.raises(ValueError, match="not 'sideways'"):
        house.picture("sideways")


def test_a_recipe_and_a_house_travel_between_processes() -> None:
    house = make(Recipe(seed=5, brief=Brief(plot=(20, 24))))
    assert pickle.loads(pickle.dumps(house.recipe)) == house.recipe
    again: House = pickle.loads(pickle.dumps(house))
    assert again.plan == house.plan
    assert np.array_equal(again.voxels.form, house.voxels.form)


def test_houses_are_equal_where_their_digests_are(tmp_path: Path) -> None:
    house = design(5, SMALL)
    assert (
        house == design(5, Brief(plot=(20, 24), gate="south")) == load(house.save(tmp_path / "h"))
    )
    others = [
        design(6, SMALL),
        design(5, {**SMALL, "palette": "cedar"}),
        design(5, SMALL, fittings=9),
    ]
    assert len({house, *others, design(5, SMALL)}) == 4
    assert house != "a house"
    room = np.where(house.voxels.room == 1, 2, house.voxels.room).astype(np.uint16)
    assert House(house.plan, dataclasses.replace(house.voxels, room=room)) != house


def test_a_house_says_itself_in_a_line() -> None:
    house = design(5, SMALL)
    said = repr(house)
    assert re.fullmatch(r"<House 5: 20 x 24 cells, \d+ rooms, [0-9a-f]{8}>", said)
    assert house.digest.startswith(said[-9:-1])


def test_the_graph_tells_rooms_and_ways() -> None:
    house = design(5, SMALL | {"storeys": 2})
    graph, depths = house.graph, {room.id: room.depth for room in house.figures().rooms}
    assert set(graph) == {0, *depths}
    for room in house.plan.rooms:
        said = graph.nodes[room.id]
        for name in ("kind", "level", "area", "indoor", "walkable"):
            assert said[name] == getattr(room, name)
        assert said["depth"] == depths[room.id]
    assert graph.nodes[0]["depth"] == 0
    for _, _, way in graph.edges(data=True):
        assert way["kind"] in way["ways"]
    kinds = {way["kind"] for *_, way in graph.edges(data=True)}
    assert {"stair", "screens"} <= kinds


@pytest.mark.parametrize(
    "brief",
    [
        {"plot": (20, 24), "gate": "south"},
        {"plot": np.array([20, 24]), "gate": np.str_("south")},
        {"plot": [np.int16(20), np.uint64(24)], "gate": "south", "mirror": np.False_},
        MappingProxyType({"plot": range(20, 28, 4), "gate": "south", "rooms": ()}),
        Brief(plot=[20, np.int64(24)], gate="south"),  # type: ignore[arg-type, list-item]
    ],
    ids=["tuple", "array", "numbers", "proxy", "brief"],
)
def test_numbers_and_sequences_of_every_kind_are_taken(brief: object) -> None:
    house = design(np.uint8(5), brief, lamps=np.int32(3))  # type: ignore[arg-type]
    assert house.recipe == Recipe(
        seed=5, brief=Brief(plot=(20, 24), gate="south"), stage_seeds=(("lamps", 3),)
    )
    assert house.recipe.brief.plot
    assert {type(n) for n in (house.recipe.seed, *house.recipe.brief.plot)} == {int}


class Somewhere:
    """A path that is neither text nor a Path."""

    def __init__(self, path: Path) -> None:
        self.path = path

    def __fspath__(self) -> str:
        return str(self.path)


def test_paths_of_every_kind_are_taken(tmp_path: Path) -> None:
    (tmp_path / "brief.toml").write_text('plot = [20, 24]\ngate = "south"\n', "utf-8")
    house = design(5, Somewhere(tmp_path / "brief.toml"))
    assert house.recipe.brief == Brief(plot=(20, 24), gate="south")
    assert load(Somewhere(house.save(Somewhere(tmp_path / "h")))) == house
    assert genhouse.inspect(Somewhere(tmp_path / "h")).clean


DEEP: list[object] = []
DEEP.append(DEEP)


@pytest.mark.parametrize(
    "call",
    [
        lambda: design("7"),  # type: ignore[arg-type]
        lambda: design(7.0),  # type: ignore[arg-type]
        lambda: design(True),
        lambda: design(None),  # type: ignore[arg-type]
        lambda: design(10**5000),
        lambda: design(7, 3.5),  # type: ignore[arg-type]
        lambda: design(7, [1, 2]),  # type: ignore[arg-type]
        lambda: design(7, {3: 4}),  # type: ignore[dict-item]
        lambda: design(7, {"plot": "wide"}),
        lambda: design(7, {"plot": {20, 24}}),
        lambda: design(7, {"plot": np.array([20.5, 24])}),
        lambda: design(7, {"rooms": DEEP}),
        lambda: design(7, {"low": [1]}),
        lambda: design(7, {"low": {"front"}}),
        lambda: design(7, {"roof": 5}),
        lambda: design(7, Brief(rooms=5)),  # type: ignore[arg-type]
        lambda: design(7, roof="x"),  # type: ignore[arg-type]
        lambda: design(7, roof=-1),
        lambda: make(7),  # type: ignore[arg-type]
        lambda: make(Recipe(seed="7")),  # type: ignore[arg-type]
        lambda: make(Recipe(seed=7, stage_seeds=5)),  # type: ignore[arg-type]
        lambda: make(Recipe(seed=7, stage_seeds=((1, 2),))),  # type: ignore[arg-type]
        lambda: make(Recipe(seed=7, brief=None)).picture("sideways"),  # type: ignore[arg-type]
        lambda: genhouse.inspect(7),  # type: ignore[arg-type]
        lambda: genhouse.ideas(7),  # type: ignore[arg-type]
        lambda: genhouse.ideas([]),
        lambda: genhouse.ideas(["7"]),  # type: ignore[list-item]
        lambda: genhouse.ideas(itertools.count()),
        lambda: genhouse.ideas(range(2), by=5),  # type: ignore[arg-type]
        lambda: genhouse.ideas(range(2), best=0),
        lambda: genhouse.ideas(range(2), processes=0),
        lambda: genhouse.variants(7),  # type: ignore[arg-type]
    ],
)
def test_what_is_of_the_wrong_kind_is_refused_in_a_sentence(call: Callable[[], object]) -> None:
    with pytest.raises(BriefError) as error:
        call()
    assert "\n" not in str(error.value)
    assert len(str(error.value)) < 400


def test_paths_of_the_wrong_kind_are_refused(tmp_path: Path) -> None:
    house = design(5, SMALL)
    for wrong in (3, None, 2.5, []):
        with pytest.raises(UnreadableError):
            load(wrong)  # type: ignore[arg-type]
        with pytest.raises(WriteError):
            house.save(wrong)  # type: ignore[arg-type]
    for ask in (
        lambda: house.picture(5),  # type: ignore[arg-type]
        lambda: house.picture(size=5),  # type: ignore[arg-type]
        lambda: house.picture(size=(10, 10**6)),
        lambda: house.picture(size=("a", "b")),  # type: ignore[arg-type]
        lambda: house.light(7),
        lambda: house.light("knee"),  # type: ignore[arg-type]
        lambda: genhouse.variants(house, keep=5),  # type: ignore[arg-type]
        lambda: genhouse.variants(house, keep="attic"),
        lambda: genhouse.variants(house, count="all"),  # type: ignore[arg-type]
    ):
        with pytest.raises(BriefError):
            ask()
