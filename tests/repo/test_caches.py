"""Caches: keyed by value and read-only, so that no thread can tell which of them filled one."""

from __future__ import annotations

import ast
import dataclasses
import gc
import importlib
import inspect
from collections.abc import Iterator
from functools import cache
from types import ModuleType
from typing import Any

import numpy as np
import pytest
from msgspec import Struct

from genhouse.core.kept import once
from tests.houses import anyhow
from tests.repo.imports import modules


@cache
def loaded() -> dict[str, ModuleType]:
    """Every module of the package, after a house has been designed, inspected, measured and drawn."""
    found = {name: importlib.import_module(name) for name in modules() if "__main__" not in name}
    house = anyhow(7)
    house.inspect()
    house.files()
    house.light()
    return found


def kept() -> dict[str, dict[Any, Any]]:
    """What every cached function of the package holds, by its name."""
    found = {}
    for name, module in loaded().items():
        for work in vars(module).values():
            if getattr(work, "__module__", "") != name or not hasattr(work, "__wrapped__"):
                continue
            if hasattr(work, "cache_info"):
                holds = [d for d in gc.get_referents(work) if isinstance(d, dict)]
                found[f"{name}.{work.__name__}"] = next(d for d in holds if d is not vars(work))
            elif inspect.isfunction(work) and (
                "kept" in (names := inspect.getclosurevars(work).nonlocals)
            ):
                found[f"{name}.{work.__name__}"] = names["kept"]
    return found


def inside(value: Any) -> Iterator[Any]:
    """A value and all that hangs on it."""
    yield value
    if isinstance(value, (tuple, list, set, frozenset)):
        parts: Any = value
    elif isinstance(value, dict):
        parts = (*value, *value.values())
    elif isinstance(value, Struct):
        parts = [getattr(value, name) for name in value.__struct_fields__]
    elif dataclasses.is_dataclass(value) and not isinstance(value, type):
        parts = [getattr(value, field.name) for field in dataclasses.fields(value)]
    elif type(value).__module__.startswith("genhouse"):
        parts = list(vars(value).values())
    else:  # a link of a bounded cache, which holds a key and an answer
        parts = gc.get_referents(value) if "lru" in type(value).__name__ else []
    for part in parts:
        if not isinstance(part, type):
            yield from inside(part)


def by_value(value: Any) -> bool:
    """Whether a value is told from others by what it says."""
    if isinstance(value, Struct):
        return value.__struct_config__.eq
    return isinstance(value, type) or type(value).__eq__ is not object.__eq__


def test_the_package_has_caches_and_this_test_sees_them_full() -> None:
    full = {name for name, held in kept().items() if held}
    assert len(full) > 30
    for name in ("traditions.loader.load_tradition", "stages.furnishing.columns._columns"):
        assert f"genhouse.{name}" in full


def test_caches_are_keyed_by_value() -> None:
    for name, held in kept().items():
        for key in held:
            for part in inside(key):
                assert part is None or type(part) is object or by_value(part), (
                    f"{name} is keyed by which {part!r} it is"
                )


def test_no_array_that_is_kept_can_be_written_to() -> None:
    for name, held in kept().items():
        for part in inside(held):
            if isinstance(part, np.ndarray):
                assert not part.flags.writeable, f"{name} keeps an array that can be written to"


def test_no_array_of_a_module_can_be_written_to() -> None:
    loose = {
        f"{name}.{word}"
        for name, module in loaded().items()
        for word, value in vars(module).items()
        if not isinstance(value, (ModuleType, type))
        if any(isinstance(part, np.ndarray) and part.flags.writeable for part in inside(value))
    }
    assert not loose


def test_what_is_kept_once_is_worked_out_once_though_many_ask(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    from concurrent.futures import ThreadPoolExecutor
    from threading import Barrier
    from time import sleep

    calls, ready = [], Barrier(8)

    @once
    def slow(number: int, *, half: bool = False) -> list[int]:
        calls.append(number)
        sleep(0.02)
        return [number // 2 if half else number]

    def ask(_: int) -> list[int]:
        ready.wait()
        return slow(4)

    with ThreadPoolExecutor(8) as pool:
        found = list(pool.map(ask, range(8)))
    assert calls == [4]
    assert all(one is found[0] for one in found)
    assert slow(4, half=True) == [2]
    assert slow(4) == [4]


def test_nothing_asks_whether_two_values_are_the_very_same() -> None:
    """But of None, true and false, of types, and of what stands for nothing."""
    for name, tree in modules().items():
        for node in ast.walk(tree):
            if isinstance(node, ast.Compare):
                for asks, other in zip(node.ops, node.comparators, strict=True):
                    known = ast.unparse(other).split(".")[-1]
                    plain = isinstance(other, ast.Constant) or known[:1].isupper()
                    assert plain or not isinstance(asks, (ast.Is, ast.IsNot)), (
                        f"{name}, line {node.lineno}: {ast.unparse(node)}"
                    )
