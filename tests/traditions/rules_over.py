"""The published rules of a tradition over many seeds, where its tests try a few.

    python -m tests.traditions.rules_over domus 0:200

Prints each seed that breaks a rule, and how many broke each; exit code 1 where there is any.
"""

from __future__ import annotations

import inspect
from collections import Counter
from importlib import import_module

import click

from genhouse.core.errors import GenhouseError
from tests.benchmarks.counting import seeds_of


@click.command()
@click.argument("tradition")
@click.argument("seeds", default="0:200")
def main(tradition: str, seeds: str) -> None:
    """Ask each rule of each house."""
    tests = import_module(f"tests.traditions.{tradition}.test_{tradition}")
    rules = {
        name: rule
        for name, rule in inspect.getmembers(tests, inspect.isfunction)
        if name.startswith("test_") and "seed" in inspect.signature(rule).parameters
    }
    broken: Counter[str] = Counter()
    made = 0
    for seed in seeds_of(seeds):
        try:
            tests.house(seed)
        except GenhouseError as error:
            click.echo(f"{seed}: {error}")
            continue
        made += 1
        for name, rule in rules.items():
            try:
                rule(seed)
            except AssertionError as error:
                broken[name] += 1
                click.echo(f"{seed}: {name}: {str(error).splitlines()[:1]}")
        tests.house.cache_clear()
    click.echo(f"{made} houses, {len(rules)} rules; broken: {dict(broken)}")
    raise SystemExit(1 if broken else 0)


if __name__ == "__main__":
    main()
