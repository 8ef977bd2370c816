"""Mutants: each a fault of its own, the same for a seed."""

from __future__ import annotations

import ast

from tests.planted.mutants import mutants

SOURCE = '''
def clamp(n: int, low: int, high: int | None = 9) -> int:
    """Between both."""
    if high is not None and n > high:
        return high - 1
    return low if not n >= low else n
'''


def test_every_mutant_parses_and_differs_in_one_place() -> None:
    found = list(mutants(SOURCE, 99, 1))
    plain = ast.unparse(ast.parse(SOURCE))
    assert len({mutant.source for mutant in found}) == len(found) > 5
    for mutant in found:
        changed = ast.unparse(ast.parse(mutant.source)).splitlines()
        assert sum(a != b for a, b in zip(plain.splitlines(), changed, strict=True)) == 1
        assert mutant.before != mutant.after


def test_a_seed_draws_the_same_mutants() -> None:
    assert list(mutants(SOURCE, 4, 2)) == list(mutants(SOURCE, 4, 2)) != list(mutants(SOURCE, 4, 3))
