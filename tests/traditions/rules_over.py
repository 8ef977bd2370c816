"""The published rules of a tradition over many seeds, where its tests try a few.

    python -m tests.traditions.rules_over domus 0:200

Prints each seed that breaks a rule; then what the inspector found, how houses are arranged, and how many
broke each rule; exit code 1 where there is any.
"""

from __future__ import annotations

import inspect
from collections import Counter
from importlib import import_module

import click
import pytest

from genhouse.core.errors import GenhouseError
from genhouse.inspection import report
from tests.benchmarks.counting import seeds_of


@click.command()
@click.argument("tradition")
@click.argument("seeds", default="0:200")
def main(tradition: str, seeds: str) -> None:
    """Ask each rule of each house."""
    tests = import_module(f"tests.traditions.{tradition}.test_rules")
    houses = import_module(f"tests.traditions.{tradition}.houses")
    rules = {
        name: rule
        for name, rule in inspect.getmembers(tests, inspect.isfunction)
        if name.startswith("test_") and "seed" in inspect.signature(rule).parameters
    }
    broken: Counter[str] = Counter()
    seen: Counter[str] = Counter()
    made = 0
    for seed in seeds_of(seeds):
        try:
            seen.update(f.check for f in report.inspect(houses.cells(seed)).findings)
        except GenhouseError as error:
            click.echo(f"{seed}: {error}")
            continue
        made += 1
        seen[houses.house(seed).arrangement] += 1
        for name, rule in rules.items():
            try:
                rule(seed)
            except pytest.skip.Exception:
                continue
            except (AssertionError, ValueError) as error:
                broken[name] += 1
                click.echo(f"{seed}: {name}: {str(error).splitlines()[:1]}")
    for what, count in sorted(seen.items()):
        click.echo(f"{count:5} {what}")
    click.echo(f"{made} houses, {len(rules)} rules; broken: {dict(broken)}")
    raise SystemExit(1 if broken else 0)


if __name__ == "__main__":
    main()
