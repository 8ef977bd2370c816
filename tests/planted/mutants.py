"""Faults planted in the code: which of them do the tests of a module let live?

    python -m tests.planted.mutants 20 genhouse/stages/roofs/swept.py tests/stages/roofs/test_swept.py

A copy of the repository is given one small fault at a time (a comparison that counts its bound the other
way, a sign, a number more by one, a part of a condition left out), drawn by ``--seed``, and the tests
that are named run over it.  Faults that no test sees are printed, for a person to judge: each either
changes nothing that anyone could see, or breaks a law that no test states yet.
"""

from __future__ import annotations

import argparse
import ast
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from copy import deepcopy
from pathlib import Path
from random import Random
from typing import NamedTuple

ROOT = Path(__file__).parents[2]
COPIED = ("genhouse", "tests", "shared", "pyproject.toml", "README.md")
PATIENCE = 600
"""Seconds after which a fault counts as seen: something no longer ends."""
SWAPPED: dict[type[ast.AST], type[ast.AST]] = {
    ast.Lt: ast.LtE,
    ast.LtE: ast.Lt,
    ast.Gt: ast.GtE,
    ast.GtE: ast.Gt,
    ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq,
    ast.In: ast.NotIn,
    ast.NotIn: ast.In,
    ast.Is: ast.IsNot,
    ast.IsNot: ast.Is,
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.And: ast.Or,
    ast.Or: ast.And,
    ast.BitAnd: ast.BitOr,
    ast.BitOr: ast.BitAnd,
}
Change = Callable[[ast.AST], object]


class Mutant(NamedTuple):
    """line: where.  before, after: what stood there and stands there now.  source: of the module."""

    line: int
    before: str
    after: str
    source: str


def sites(tree: ast.Module) -> Iterator[tuple[int, Change]]:
    """Where a fault can be planted: the number of the node in the tree's own order, and how.

    What a class is declared to be (frozen, slots) is no rule of a house, and left alone.
    """
    declared = {id(part) for node in ast.walk(tree) for part in _declared(node)}
    for n, node in enumerate(ast.walk(tree)):
        if id(node) in declared:
            continue
        match node:
            case ast.Compare(ops=[op]) if type(op) in SWAPPED:
                yield n, lambda at: at.ops.__setitem__(0, SWAPPED[type(at.ops[0])]())  # type: ignore[attr-defined]
            case ast.BinOp(op=op) | ast.BoolOp(op=op) if type(op) in SWAPPED and _typed(node):
                yield n, lambda at: setattr(at, "op", SWAPPED[type(at.op)]())  # type: ignore[attr-defined]
            case ast.UnaryOp(op=ast.Not()):
                yield n, lambda at: setattr(at, "op", ast.UAdd())
            case ast.Constant(value=bool()):
                yield n, lambda at: setattr(at, "value", not at.value)  # type: ignore[attr-defined]
            case ast.Constant(value=int()):
                yield n, lambda at: setattr(at, "value", at.value + 1)  # type: ignore[attr-defined]


def _declared(node: ast.AST) -> Iterator[ast.AST]:
    if isinstance(node, ast.ClassDef):
        for part in (*node.keywords, *node.decorator_list):
            yield from ast.walk(part)


def _typed(node: ast.AST) -> bool:
    """Whether it may be of numbers or sets, and not a union of types."""
    return not any(
        isinstance(part, ast.Constant) and part.value is None for part in ast.iter_child_nodes(node)
    )


def mutants(source: str, count: int, seed: int) -> Iterator[Mutant]:
    """So many faults of a module, none twice."""
    tree = ast.parse(source)
    places = list(sites(tree))
    for n, change in Random(seed).sample(places, min(count, len(places))):
        other = deepcopy(tree)
        node = list(ast.walk(other))[n]
        before = ast.unparse(node)
        change(node)
        after = ast.unparse(node)
        yield Mutant(getattr(node, "lineno", 0), before, after, ast.unparse(other))


def passes(root: Path, tests: list[str]) -> bool:
    """Whether tests find nothing."""
    command = [sys.executable, "-m", "pytest", "-q", "-x", "-p", "no:cacheprovider", *tests]
    try:
        done = subprocess.run(command, cwd=root, capture_output=True, timeout=PATIENCE, check=False)
    except subprocess.TimeoutExpired:
        return False
    return done.returncode == 0


def survivors(
    module: str, tests: list[str], count: int, seed: int
) -> Iterator[tuple[Mutant, bool]]:
    """Each fault, and whether it lives.  Raises ValueError where the tests fail without any."""
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder)
        for name in COPIED:
            copy = shutil.copytree if (ROOT / name).is_dir() else shutil.copy
            copy(ROOT / name, root / name)
        if not passes(root, tests):
            raise ValueError(f"{' '.join(tests)} fail before any fault is planted")
        source = (root / module).read_text()
        for mutant in mutants(source, count, seed):
            (root / module).write_text(mutant.source)
            yield mutant, passes(root, tests)


def main(words: list[str]) -> None:
    parser = argparse.ArgumentParser(description="Plant faults in a module and run its tests.")
    parser.add_argument("count", type=int)
    parser.add_argument("module")
    parser.add_argument("tests", nargs="+")
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args(words)
    seen = lived = 0
    for mutant, lives in survivors(asked.module, asked.tests, asked.count, asked.seed):
        seen, lived = seen + 1, lived + lives
        mark = "lives" if lives else "seen"
        print(
            f"{mark:6}{asked.module}:{mutant.line}  {mutant.before}  ->  {mutant.after}", flush=True
        )
    print(f"{seen - lived} of {seen} seen")


if __name__ == "__main__":
    main(sys.argv[1:])
