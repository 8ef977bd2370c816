"""Traditions: malformed data is refused by the name of its key; sound data holds together."""

from __future__ import annotations

import ast
import copy
import tomllib
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from scipy import ndimage

from genhouse.core.errors import BriefError, TraditionError
from genhouse.core.forms import FORMS, NUMBER
from genhouse.traditions.building import uses_of
from genhouse.traditions.loader import load_tradition, parse_tradition
from genhouse.traditions.needed import USES
from genhouse.traditions.shelf import names, tables
from genhouse.traditions.tradition import Fitting
from tests.houses import SEEDS, house
from tests.repo.imports import modules

Tables = dict[str, Any]
Change = Callable[[Tables], object]


def changed(change: Change) -> Tables:
    data = copy.deepcopy(tables("timber"))
    change(data)
    return data


def entry(*path: str, value: Any) -> Change:
    def put(data: Tables) -> None:
        for key in path[:-1]:
            data = data[key]
        data[path[-1]] = value

    return put


def lost(*path: str) -> Change:
    def drop(data: Tables) -> None:
        for key in path[:-1]:
            data = data[key]
        del data[path[-1]]

    return drop


def first_step(key: str, value: Any) -> Change:
    return lambda data: data["step"][0].update({key: value})


BED = ("fitting", "bed")
BAD: dict[str, tuple[Change, str]] = {
    "a height in words": (entry("heights", "full", "tie", value="two"), "heights.full.tie"),
    "no heights": (lost("heights"), "heights"),
    "a head lost": (lost("heights", "top", "head"), "heights.top"),
    "no title": (lost("title"), "title"),
    "no materials": (lost("material"), "material"),
    "no roles": (lost("role"), "role"),
    "no kinds": (lost("kind"), "kind"),
    "no fronts": (lost("front"), "front"),
    "a look nobody knows": (entry("kind", "kitchen", "windows", value=["smoky"]), "smoky"),
    "a piece of a front of no form": (
        entry("front", "piece", "stone", value=["plinth", "rubble out"]),
        r"front\.piece\.stone: .*rubble out",
    ),
    "a piece that leaves the wall open": (
        entry("front", "piece", "stone", value=["plinth", "bars out"]),
        r"front\.piece\.stone: .*open",
    ),
    "a window without light": (
        entry("front", "look", "high", "head", value=["", "", "boards"]),
        r"front\.look\.high\.head: 'boards' lets no light",
    ),
    "a jut of one piece with a roof": (
        entry("front", "jut", "counter", "roofed", value=True),
        r"front\.jut\.counter: it has 1 pieces",
    ),
    "a yard for nothing": (
        entry("kind", "bath", "yards", value=["paddock"]),
        r"kind\.bath\.yards: .*'paddock'",
    ),
    "nothing that bounds": (lost("bound"), "bound"),
    "a boundary of no role": (entry("bound", "hedge", "run", value=[["gold", "whole"]]), "gold"),
    "a boundary of no form": (
        entry("bound", "wall", "corner", value=[["hedge", "cube"]] * 3),
        r"bound\.wall\.corner: .*'cube'",
    ),
    "a boundary that one steps over": (
        entry("bound", "hedge", "run", value=[["hedge", "whole"]]),
        r"bound\.hedge: .* 1 and 2 high",
    ),
    "no scheme": (entry("front", "scheme", value={}), r"front\.scheme"),
    "no fittings": (lost("fitting"), "fitting"),
    "a role of no material": (entry("role", "post", value="marble"), "marble"),
    "a palette for no role": (entry("palette", "smoke", value={"pots": "bark"}), "pots"),
    "a palette of no material": (entry("palette", "smoke", value={"post": "marble"}), "marble"),
    "a material without colour": (lost("material", "elm", "colour"), "colour"),
    "lumens in words": (entry("material", "elm", "lumens", value="many"), "lumens"),
    "a kind without area": (lost("kind", "bath", "area"), "area"),
    "two ways in": (
        entry("kind", "bath", "arrival", value=True),
        "arrival is said of entry and bath",
    ),
    "no hearth": (lost("kind", "kitchen", "hearth"), "hearth is said of none"),
    "an area of two": (entry("kind", "bath", "area", value=[9, 12]), "area"),
    "a kind that wants no fitting": (entry("kind", "bath", "fittings", value=["sauna"]), "sauna"),
    "a floor there is not": (entry("kind", "bath", "floor", value="marble"), "marble|floor"),
    "a fitting against nothing": (entry(*BED, "against", value="ceiling"), "against|ceiling"),
    "a fitting of no plan": (lost(*BED, "layers"), "layers"),
    "a ragged plan": (entry(*BED, "layers", value=["PP Q"]), "bed"),
    "a piece of no form": (entry(*BED, "key", "Q", value=["quilt", "cube"]), "cube"),
    "a piece of no role": (entry(*BED, "key", "Q", value=["gold", "whole"]), "gold"),
    "a piece of one word": (entry(*BED, "key", "Q", value=["quilt"]), "bed.key.Q"),
    "a letter of no piece": (lost(*BED, "key", "Q"), "bed.*'Q'"),
    "a tint of no role": (entry(*BED, "tints", value=[["quilt", "gold"]]), "gold"),
    "a companion there is not": (entry(*BED, "near", value=["cot"]), "cot"),
    "a tag there is not": (entry(*BED, "tags", value=["fly"]), "tags|fly"),
    "an extra there is not": (entry("kind", "bath", "extras", value=["sauna"]), "sauna"),
    "nothing smaller": (entry(*BED, "smaller", value="cot"), "cot"),
    "gaps in words": (entry("bays", "gaps", value="wide"), "gaps"),
}
TOGETHER: dict[str, tuple[Change, str]] = {
    "a span of no bays": (
        entry("bays", "spans", value=[4, 14]),
        "bays.spans: 14.*try .4, 6, 8, 10, 12",
    ),
    "an odd span": (entry("bays", "spans", value=[5]), "bays.spans"),
    "a gap left out": (entry("bays", "gaps", value=[3, 5]), "bays.gaps.*from 3 to 5"),
    "no gap for a stair": (entry("bays", "gaps", value=[3]), "bays.gaps.*add 4"),
    "beams on each other": (entry("heights", "full", "tie", value=3), "heights.full.tie"),
    "a low storey": (
        entry("heights", "full", value={"tie": 2, "head": 3}),
        "heights.full.head: 3 is too low.*try 4",
    ),
    "a storey without a door": (
        entry("heights", "full", value={"tie": 1, "head": 4}),
        "heights.full.tie.*try 2",
    ),
    "a storey too high": (
        entry("heights", "full", value={"tie": 4, "head": 6}),
        "heights.full.head: 6 hangs lamps too high.*try 5",
    ),
    "an upper storey without walls": (
        entry("heights", "top", value={"head": 0}),
        "heights.top.head.*try 1",
    ),
    "one gap alone": (entry("bays", "gaps", value=[5]), "bays.gaps: with 5 alone.*add 6"),
    "eaves over the plot": (entry("roof", "outside", value=3), "roof.outside.*margin is 2"),
    "more than always": (entry("roof", "swept", value=[3, 2]), "roof.swept"),
    "no forms": (entry("roof", "forms", value=[]), "roof.forms"),
    "a use left out": (lost("use", "tread"), "use.*tread"),
    "a floor that opens": (
        entry("use", "upper floor", value=["floors", "screen", "whole"]),
        "use.upper floor: .*floors is not to open, and screen opens",
    ),
    "dry water": (entry("role", "water", value="elm"), "role.water: elm lacks liquid"),
    "a wet door": (entry("palette", "smoke", value={"post": "pond water"}), "palette.smoke.post"),
    "a blank that nothing fills": (
        entry("words", "flight", value="It climbs to the {sides}."),
        "words.flight.*nothing fills {sides}; did you mean 'side'",
    ),
    "an open bracket": (
        first_step("say", ["Plant {trees:tree} [last."]),
        r"step.ground.say\[0\]: a bracket stands alone",
    ),
    "a step of no stage": (first_step("stage", "gardens"), "step.ground.*'gardens'"),
    "a step of no role": (first_step("roles", ["gold"]), "step.*gold"),
    "a stage that is left unfinished": (first_step("storey", "low"), "step.site.*all that is left"),
    "no steps": (entry("step", value=[]), "step.site.*all that is left"),
    "a count of no stage": (
        entry("words", "count", "trees", "stage", value="garden"),
        "words.count.trees.stage.*'garden'",
    ),
    "a count of no role": (entry("words", "count", "trees", "roles", value=["tree"]), "'tree'"),
    "no builders": (entry("builders", value="timbre"), "builders.*'timber'"),
}
UNSEEN: dict[str, tuple[Change, str]] = {
    "a key misspelt": (entry(*BED, "arround", value=True), "arround"),
    "a table misspelt": (entry("palettes", value={}), "palettes"),
    "a kind near none": (entry("kind", "bath", "near", value=["sauna"]), "sauna"),
    "an area upside down": (entry("kind", "bath", "area", value=[16, 9, 4]), "area"),
    "no palettes": (entry("palette", value={}), "palette"),
    "kinds in a list": (entry("kind", value=[]), "kind"),
    "a colour by name": (entry("material", "elm", "colour", value="brown"), "brown"),
    "a fitting smaller than itself": (entry(*BED, "smaller", value="bed"), "bed"),
}


@pytest.mark.parametrize("name", BAD)
def test_malformed_data_is_refused_by_its_key(name: str) -> None:
    change, key = BAD[name]
    with pytest.raises(TraditionError, match=key) as error:
        parse_tradition("trial", changed(change))
    assert error.value.exit_code == 2
    assert "\n" not in str(error.value)


@pytest.mark.parametrize("name", UNSEEN | TOGETHER)
def test_data_that_means_nothing_is_refused_too(name: str) -> None:
    change, key = (UNSEEN | TOGETHER)[name]
    with pytest.raises(TraditionError, match=key):
        parse_tradition("trial", changed(change))


def test_an_unknown_tradition_is_refused_with_those_there_are() -> None:
    with pytest.raises(BriefError, match="did you mean 'timber'"):
        tables("timbre")
    with pytest.raises(BriefError, match=r"try .*timber"):
        load_tradition("glass")


@pytest.mark.parametrize("name", names())
def test_every_file_on_the_shelf_is_sound_toml_and_loads(name: str) -> None:
    tradition = load_tradition(name)
    assert tomllib.loads("x = 1")
    assert tradition.name == name
    assert tradition.title
    assert len({p.name for p in tradition.palettes}) == len(tradition.palettes) >= 1


FITTINGS = [(name, fitting) for name, fitting in load_tradition("timber").fittings]
DRAWN = {
    f"{tradition}: {name}": fitting
    for tradition in names()
    for name, fitting in load_tradition(tradition).fittings
    if tradition == "timber" or (name, fitting) not in FITTINGS
}
"""Every fitting of every tradition, each once."""


def stood(fitting: Fitting) -> np.ndarray:
    """A fitting by itself, on a floor: bool sub-cells, the lowest layer the floor."""
    width, depth = fitting.size
    high = 1 + max(z for _, _, z, _, _ in fitting.pieces)
    solid = np.zeros((4 * width, 4 * depth, 1 + 4 * high), dtype=bool)
    solid[:, :, 0] = True
    for x, y, z, _, form in fitting.pieces:
        cell = FORMS[NUMBER[form]].shape
        solid[4 * x : 4 * x + 4, 4 * y : 4 * y + 4, 1 + 4 * z : 5 + 4 * z] = cell
    return solid


@pytest.mark.parametrize("fitting", DRAWN.values(), ids=DRAWN)
def test_a_fitting_stands_by_itself(fitting: Fitting) -> None:
    """Face to face at sub-cells, every piece hangs together with the floor that it stands on."""
    _, bodies = ndimage.label(stood(fitting))
    assert bodies == 1


@pytest.mark.parametrize("fitting", DRAWN.values(), ids=DRAWN)
def test_pieces_keep_inside_their_fitting_and_apart(fitting: Fitting) -> None:
    width, depth = fitting.size
    at = [(x, y, z) for x, y, z, _, _ in fitting.pieces]
    assert len(set(at)) == len(at)
    assert all(0 <= x < width and 0 <= y < depth and z >= 0 for x, y, z in at)
    assert all((x, y, z - 1) in at for x, y, z in at if z), "nothing above without something below"


def test_every_kind_has_fittings_and_every_fitting_a_kind() -> None:
    tradition = load_tradition("timber")
    wanted = {f for _, kind in tradition.kinds for f in kind.names}
    assert all(kind.fittings or kind.sets for _, kind in tradition.kinds)
    smaller = {f.smaller for _, f in tradition.fittings if f.smaller}
    smaller |= {name for name, f in tradition.fittings if f.against == "veranda"}
    assert {name for name, _ in tradition.fittings} == wanted | smaller
    for _, kind in tradition.kinds:
        least, best, most = kind.area
        assert least <= best <= most
        assert 0 <= kind.need <= kind.most


TAGS = {
    "sleep", "eat", "cook", "wash", "store", "work", "worship", "display", "sit", "light", "entry"
}  # fmt: skip


def test_fittings_are_many_and_cover_every_use() -> None:
    assert len(FITTINGS) >= 45
    assert {tag for _, f in FITTINGS for tag in f.tags} == TAGS


BUILT = ("genhouse.stages", "genhouse.traditions.timber")


def said() -> set[str]:
    """The words of all stages and trades."""
    trees = [tree for name, tree in modules().items() if name.startswith(BUILT)]
    return {n.value for tree in trees for n in ast.walk(tree) if isinstance(n, ast.Constant)}


def test_what_is_asked_for_by_name_is_what_a_tradition_must_say() -> None:
    asked = (*USES, *uses_of("timber"))
    assert len(asked) == len(set(asked))
    assert set(asked) == set(dict(load_tradition("timber").uses)) <= said()


@pytest.mark.parametrize("use", [*USES, *uses_of("timber")])
def test_a_use_left_out_is_refused_by_its_name(use: str) -> None:
    with pytest.raises(TraditionError, match=f"use: nothing stands for '{use}'"):
        parse_tradition("trial", changed(lost("use", use)))


def idle() -> set[str]:
    """Roles that no fitting, use or front has."""
    tradition = load_tradition("timber")
    used = {role for _, f in tradition.fittings for _, _, _, role, _ in f.pieces}
    used |= {role for _, f in tradition.fittings for tint in f.tints for role in tint}
    used |= {role for _, (role, _) in tradition.front.pieces}
    used |= {role for _, jut in tradition.front.juts for _, role, _ in jut.pieces}
    used |= {role for _, (_, role, _) in tradition.uses}
    used |= {role for _, one in tradition.bounds for role, _ in (*one.run, *one.corner)}
    return {role for role, _ in tradition.palettes[0].roles} - used


def test_no_stage_trade_or_output_makes_or_seeks_a_part_by_its_role() -> None:
    """A part is made from a row of a table, and found by what it does; roles stand in no code."""
    parts = [
        f"{name}:{node.lineno}"
        for name, tree in modules().items()
        for node in ast.walk(tree)
        if isinstance(node, ast.Call)
        and isinstance(node.func, ast.Name)
        and node.func.id == "Part"
        and any(isinstance(arg, ast.Constant) for arg in node.args[1:2])
    ]
    compared = [
        f"{name}:{node.lineno}"
        for name, tree in modules().items()
        for node in ast.walk(tree)
        if isinstance(node, ast.Compare)
        and isinstance(node.left, ast.Attribute)
        and node.left.attr == "role"
        and any(isinstance(n, ast.Constant) for other in node.comparators for n in ast.walk(other))
    ]
    assert parts + compared == []


def test_roles_are_all_used() -> None:
    assert idle() == set()


@pytest.mark.parametrize("seed", SEEDS)
def test_every_part_has_a_role_of_the_tradition(seed: int) -> None:
    roles = {role for role, _ in load_tradition("timber").palettes[0].roles}
    assert {part.role for part in house(seed).plan.parts} <= roles


def test_a_palette_changes_colours_and_never_what_a_material_is() -> None:
    """Liquid, passable, clear and light belong to the role, so that no palette changes a house."""
    tradition = load_tradition("timber")
    first = dict(tradition.palettes[0].roles)
    for palette in tradition.palettes:
        assert [role for role, _ in palette.roles] == sorted(first)
        for role, material in palette.roles:
            for flag in ("liquid", "passable", "clear"):
                assert getattr(material, flag) == getattr(first[role], flag), (palette.name, role)
            assert bool(material.lumens) == bool(first[role].lumens)
        assert len(palette.materials) < 256
