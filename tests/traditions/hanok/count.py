"""The rules of the hanok over many seeds, and what is found amiss.

python -m tests.traditions.hanok.count 0:100
"""

from __future__ import annotations

from collections import Counter

import click

from genhouse.core.errors import InfeasibleError
from genhouse.inspection.report import inspect
from tests.traditions.hanok import test_rules as rules
from tests.traditions.hanok.houses import cells, house


@click.command()
@click.argument("seeds")
def main(seeds: str) -> None:
    """Count what breaks a rule, and what an inspection finds."""
    first, _, last = seeds.partition(":")
    held = [check for name, check in vars(rules).items() if name.startswith("test_")]
    amiss: Counter[str] = Counter()
    for seed in range(int(first), int(last)):
        try:
            found = [finding.check for finding in inspect(cells(seed)).findings]
        except InfeasibleError as error:
            amiss[f"refused: {error}"] += 1
            continue
        amiss.update(found)
        amiss[house(seed).arrangement] += 1
        for check in held:
            try:
                check(seed)
            except (AssertionError, ValueError):
                amiss[f"{check.__name__} fails"] += 1
                click.echo(f"{seed} {check.__name__}")
            except BaseException as skipped:  # a check that does not apply
                if type(skipped).__name__ != "Skipped":
                    raise
    for what, count in sorted(amiss.items()):
        click.echo(f"{count:5} {what}")


if __name__ == "__main__":
    main()
