"""Layers: each folder imports only from those before it, and no two modules import each other."""

from __future__ import annotations

import ast

import networkx as nx
import pytest

from tests.repo.imports import inside, modules

LAYERS = (
    {"core"},
    {"model"},
    {"traditions"},
    {"stages"},
    {"inspection"},
    {"outputs"},
    {"generate"},
    {"sound"},
    {"house"},
    {"testing"},
    {"many"},
    {"survey"},
    {"village"},
    {"broken"},
    {"strategies"},
    {"desk"},
    {""},
    {"cli"},
    {"plugin"},
    {"__main__"},
)
"""From the ground up; "" is the package's own face."""
APART = ({"stages", "inspection"}, {"stages", "outputs"}, {"inspection", "outputs"})
"""The judge never asks the builder, and neither asks the draughtsman."""


def folder(module: str) -> str:
    return ([*module.split("."), ""])[1]


def height(module: str) -> int:
    return next(n for n, layer in enumerate(LAYERS) if folder(module) in layer)


def test_every_folder_has_its_layer() -> None:
    known = set().union(*LAYERS)
    assert {folder(name) for name in modules()} == known


@pytest.mark.parametrize("name", modules())
def test_a_module_imports_only_from_its_own_folder_and_those_before(name: str) -> None:
    for other in inside()[name]:
        assert height(other) <= height(name), f"{name} imports {other}"
        assert {folder(name), folder(other)} not in APART, f"{name} imports {other}"


def test_no_modules_import_each_other_in_a_circle() -> None:
    graph = nx.DiGraph((name, other) for name, others in inside().items() for other in others)
    assert list(nx.simple_cycles(graph)) == []


def test_stages_are_called_by_generate_alone_and_name_no_tradition() -> None:
    callers = {
        name
        for name, others in inside().items()
        if any(folder(other) == "stages" for other in others) and folder(name) != "stages"
    }
    assert {folder(name) for name in callers} == {"generate"}
    for name, tree in modules().items():
        if folder(name) == "stages":
            words = {n.value for n in ast.walk(tree) if isinstance(n, ast.Constant)}
            assert "timber" not in words, f"{name} knows its tradition's name"
