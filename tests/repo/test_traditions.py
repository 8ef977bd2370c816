"""No file outside the folder of traditions names one: nothing is built or judged by asking which it is."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator

import pytest

from genhouse.model.brief import Brief
from genhouse.outputs.pictures._finish import MOTTLE
from genhouse.traditions.folders import SHELF, names
from tests.repo.imports import PACKAGE, modules

OF_A_BRIEF = ("genhouse.model.brief", "tradition")
"""The one place where one is named: what a brief means that names none."""


def words(name: str, tree: ast.AST) -> Iterator[str]:
    """What a module says in so many words, but for what it tells its readers."""
    told = {
        id(node.body[0].value)
        for node in ast.walk(tree)
        if isinstance(node, (ast.Module, ast.ClassDef, ast.FunctionDef))
        and node.body
        and isinstance(node.body[0], ast.Expr)
    }
    for node in ast.walk(tree):
        if isinstance(node, ast.AnnAssign) and (name, ast.unparse(node.target)) == OF_A_BRIEF:
            told.add(id(node.value))
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in told:
            yield node.value
        if isinstance(node, ast.ImportFrom) and node.module:
            yield from node.module.split(".")


@pytest.mark.parametrize("name", [n for n in modules() if not n.startswith("genhouse.traditions")])
def test_no_code_outside_the_folder_names_a_tradition(name: str) -> None:
    """A finish of a surface is a word of its own, whatever tradition bears the same."""
    known = set(names()) - MOTTLE.keys()
    said = list(words(name, modules()[name]))
    assert not {word for text in said for word in re.findall(r"[a-z]+", text)} & known
    if not {"finish", *MOTTLE} & {w for t in said for w in re.findall(r"[a-z]+", t)} - set(names()):
        assert not set(said) & set(names())


def test_nor_does_any_other_file_of_the_package() -> None:
    known = "|".join(n for n in names() if n not in MOTTLE)
    for path in PACKAGE.rglob("*"):
        if path.suffix in (".j2", ".js", ".css", ".toml") and SHELF not in path.parents:
            assert not re.search(rf"\b({known})\b", path.read_text("utf-8")), path


def test_the_brief_that_names_none_means_one_of_the_shelf() -> None:
    assert Brief().tradition in names()
