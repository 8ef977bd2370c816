"""Who imports whom, read from the source: hidden imports and those for typing only count too."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from functools import cache
from pathlib import Path

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "genhouse"


@cache
def modules() -> dict[str, ast.Module]:
    """Every module of the package by its dotted name."""
    found = {}
    for path in sorted(PACKAGE.rglob("*.py")):
        parts = path.relative_to(ROOT).with_suffix("").parts
        name = ".".join(parts[:-1] if parts[-1] == "__init__" else parts)
        found[name] = ast.parse(path.read_text("utf-8"))
    return found


def imported(tree: ast.Module) -> Iterator[str]:
    """Dotted names that a module imports anywhere in its text; ``from a import b`` gives a.b."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, "imports are absolute"
            yield from (f"{node.module}.{alias.name}" for alias in node.names)


@cache
def inside() -> dict[str, frozenset[str]]:
    """For each module the modules of the package that it imports."""
    return {
        name: frozenset(
            _module(target) for target in imported(tree) if target.split(".")[0] == "genhouse"
        )
        for name, tree in modules().items()
    }


def _module(name: str) -> str:
    """The longest part of a dotted name that is a module."""
    while name not in modules():
        name = name.rpartition(".")[0]
    return name
