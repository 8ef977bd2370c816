"""What the package needs at run time is just what it imports, and light commands import little."""

from __future__ import annotations

import ast
import json
import random
import re
import subprocess
import sys
import tomllib
from collections.abc import Iterable
from pathlib import Path

import numpy as np

from genhouse.house import make
from genhouse.model.brief import Brief, Recipe
from tests.repo.imports import ROOT, imported, inside, modules

MODULE = {
    "connected-components-3d": "cc3d",
    "pillow": "PIL",
    "scikit-image": "skimage",
    "scikit-learn": "sklearn",
}
"""Distributions whose module has another name."""
WORKSHOP = ("test", "peers", "dev")
"""Extras for those who build genhouse."""
BEYOND = ("genhouse.strategies", "genhouse.plugin", "genhouse.desk.app")
"""Modules that are there for what an extra brings, and are imported by nobody else."""
IMPORTS = (ast.Import, ast.ImportFrom)
CLOCKS = ("genhouse.cli.progress", "genhouse.survey.row")
"""The files that look at a clock: to tell a person how long work will still take, and has taken."""
HEAVY = ("numpy", "scipy", "networkx", "PIL", "jinja2", "rich")


PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]


def named(lines: list[str]) -> set[str]:
    names = [re.match(r"[A-Za-z0-9_-]+", line) for line in lines]
    return {MODULE.get(found[0], found[0]) for found in names if found}


def declared() -> set[str]:
    return named(PROJECT["dependencies"])


def extra() -> set[str]:
    """What only some commands need."""
    extras = PROJECT["optional-dependencies"].items()
    return {name for key, lines in extras if key not in WORKSHOP for name in named(lines)}


def used(trees: Iterable[ast.Module]) -> set[str]:
    tops = {name.split(".")[0] for tree in trees for name in imported(tree)}
    return tops - set(sys.stdlib_module_names) - {"genhouse"}


def at_once(tree: ast.Module) -> ast.Module:
    """What a module imports when it is imported itself."""
    return ast.Module([node for node in tree.body if isinstance(node, IMPORTS)], [])


def test_what_is_imported_is_declared_and_what_is_declared_is_imported() -> None:
    assert used(modules().values()) == declared() | extra()


def test_what_an_extra_brings_is_imported_only_where_it_is_used() -> None:
    common = [at_once(tree) for name, tree in modules().items() if name not in BEYOND]
    assert used(common).isdisjoint(extra() - declared())
    assert not any(set(BEYOND[:1]) & others for others in inside().values())


def test_the_oldest_versions_tried_are_those_declared() -> None:
    lines = (*PROJECT["dependencies"], *PROJECT["optional-dependencies"]["test"])
    tried = (ROOT / ".ci" / "oldest.txt").read_text("utf-8").splitlines()
    assert tried[1:] == sorted(line.replace(">=", "==") for line in lines)


BAD = [
    ["design", "x"],
    ["design", "-1"],
    ["design", "1.5"],
    ["design", str(1 << 64)],
    ["design", ""],
    ["design", "7", "--plot", "5x5"],
    ["design", "7", "--plot", "99x99"],
    ["design", "7", "--plot", "wide"],
    ["design", "7", "--gate", "up"],
    ["design", "7", "--tradition", "stone"],
    ["design", "7", "--palette", "smok"],
    ["design", "7", "--garden", "lawn"],
    ["design", "7", "--set", "roofs=1"],
    ["design", "7", "--set", "roof"],
    ["design", "7", "--brief", "nowhere.toml"],
    ["design"],
    ["build", "7"],
    ["design", "7", "--colour"],
    ["--help"],
    ["design", "--help"],
    ["inspect", "--help"],
    ["desk", "--help"],
    ["desk", "--port", "x"],
    ["--version"],
]

PROBE = """
import json, sys
import genhouse
found = {"import genhouse": [m for m in HEAVY if m in sys.modules]}
from click.testing import CliRunner
from genhouse.cli.main import main
for words in BAD:
    result = CliRunner().invoke(main, words)
    found[" ".join(words)] = [m for m in HEAVY if m in sys.modules]
    code = 0 if "--help" in words or "--version" in words else 2
    assert result.exit_code == code, (words, result.exit_code, result.output)
print(json.dumps(found))
"""


def test_light_commands_and_refusals_import_nothing_heavy(tmp_path: Path) -> None:
    """All in one fresh process: the first that pulls something in is named."""
    text = f"HEAVY = {HEAVY!r}\nBAD = {BAD!r}\n{PROBE}"
    run = subprocess.run(
        [sys.executable, "-c", text], capture_output=True, text=True, cwd=tmp_path, check=False
    )
    assert run.returncode == 0, run.stderr
    found = json.loads(run.stdout)
    assert len(found) == len(BAD) + 1
    assert {words: heavy for words, heavy in found.items() if heavy} == {}
    assert list(tmp_path.iterdir()) == []


def test_a_design_leaves_the_global_random_state_alone() -> None:
    random.seed(5)
    np.random.seed(5)
    before = random.getstate(), np.random.get_state()[1].tobytes(), np.random.get_state()[2]
    make(Recipe(seed=31, brief=Brief(plot=(24, 30)))).inspect()
    after = random.getstate(), np.random.get_state()[1].tobytes(), np.random.get_state()[2]
    assert before == after


def test_nothing_draws_but_from_named_draws() -> None:
    for name, tree in modules().items():
        for target in imported(tree):
            clock = () if name in CLOCKS else ("time", "datetime")
            assert target.split(".")[0] not in ("random", "secrets", "uuid", *clock), name
            assert not target.startswith("numpy.random"), name
