"""What the package shows, how long its files are, and that each says what it is for."""

from __future__ import annotations

import ast
import pydoc
import re

import pytest

import genhouse
from tests.repo.imports import PACKAGE, ROOT, modules

LONGEST = 400
FILES = sorted(
    p for folder in ("genhouse", "tests", "gallery") for p in (ROOT / folder).rglob("*.py")
)


def test_public_names_are_those_it_says() -> None:
    assert sorted(genhouse.__all__) == sorted(set(genhouse.__all__))
    for name in genhouse.__all__:
        assert getattr(genhouse, name) is not None
    shown = {
        alias.asname or alias.name
        for node in ast.walk(modules()["genhouse"])
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("genhouse.")
        for alias in node.names
    }
    assert shown - {"__version__"} == set(genhouse.__all__)


def test_the_public_face_is_what_one_finds_by_asking() -> None:
    shown = {name for name in dir(genhouse) if not name.startswith("_")}
    assert shown == set(genhouse.__all__)
    text = pydoc.render_doc(genhouse, renderer=pydoc.plaintext)
    for name in genhouse.__all__:
        assert re.search(rf"^ +(class )?{name}\b", text, re.MULTILINE), name


def test_every_error_and_all_of_a_brief_is_public() -> None:
    from genhouse.core import errors
    from genhouse.model import brief

    for module in (errors, brief):
        own = [v for v in vars(module).values() if getattr(v, "__module__", "") == module.__name__]
        names = {value.__name__ for value in own if isinstance(value, type)}
        assert names <= set(genhouse.__all__), module.__name__


def test_public_names_show_how_they_are_used() -> None:
    """An example each, which the doctests run; errors and what is handed back are not called."""
    for name in set(genhouse.__all__) - {"Choice", "Variant", "Variants"}:
        value = getattr(genhouse, name)
        if not (isinstance(value, type) and issubclass(value, Exception)):
            assert ">>> " in (value.__doc__ or ""), name


def test_an_unknown_name_is_refused_by_name() -> None:
    with pytest.raises(AttributeError, match="no attribute 'palace'"):
        genhouse.palace  # noqa: B018


def test_public_names_have_docstrings() -> None:
    for name in genhouse.__all__:
        assert (getattr(genhouse, name).__doc__ or "").strip()


@pytest.mark.parametrize("path", FILES, ids=lambda p: str(p.relative_to(ROOT)))
def test_no_file_is_too_long(path: object) -> None:
    assert len(path.read_text("utf-8").splitlines()) <= LONGEST  # type: ignore[attr-defined]


@pytest.mark.parametrize("name", modules())
def test_every_module_says_what_it_is_for(name: str) -> None:
    assert ast.get_docstring(modules()[name])


@pytest.mark.parametrize("name", modules())
def test_public_functions_have_hints_and_values_are_frozen(name: str) -> None:
    for node in ast.walk(modules()[name]):
        if isinstance(node, ast.FunctionDef):
            assert node.returns is not None, node.name
        if isinstance(node, ast.ClassDef):
            for mark in node.decorator_list:
                if isinstance(mark, ast.Call) and getattr(mark.func, "id", "") == "dataclass":
                    said = {k.arg: getattr(k.value, "value", None) for k in mark.keywords}
                    assert said.get("frozen") is True, f"{node.name} is not frozen"


def test_no_path_of_a_machine_is_written_anywhere() -> None:
    for path in sorted(PACKAGE.rglob("*.*")):
        if path.suffix in (".py", ".toml", ".j2"):
            text = path.read_text("utf-8")
            assert not any(word in text for word in ("/home/", "/tmp/", f"{ROOT}/", "C:\\")), path
