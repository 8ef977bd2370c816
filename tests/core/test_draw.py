"""Named draws: the generator against its published answers, and what a name promises."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Iterable, Sequence
from hashlib import blake2b
from itertools import permutations
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from genhouse.core.draw import WORD, Block, Draw, philox

PI_DIGITS = 0x243F6A8885A308D3, 0x13198A2E03707344, 0xA4093822299F31D0, 0x082EFA98EC4E6C89
"""The first 256 bits of the fraction of pi, as in the known answers of Random123."""

KNOWN = {
    # philox4x64-10: Random123, tests/kat_vectors (D. E. Shaw Research).
    "zero": (
        ((0, 0, 0, 0), (0, 0)),
        (0x16554D9ECA36314C, 0xDB20FE9D672D0FDC, 0xD7E772CEE186176B, 0x7E68B68AEC7BA23B),
    ),
    "pi": (
        (PI_DIGITS, (0x452821E638D01377, 0xBE5466CF34E90C6C)),
        (0xA528F45403E61D95, 0x38C72DBD566E9788, 0xA5A1610E72FD18B5, 0x57BD43B5E52B7FE6),
    ),
    # The same file; this row from memory.
    "ones": (
        ((WORD, WORD, WORD, WORD), (WORD, WORD)),
        (0x87B092C3013FE90B, 0x438C3C67BE8D0224, 0x9CC7D7C69CD777B6, 0xA09CAEBF594F0BA0),
    ),
}

# Upper 0.1 % points of chi-square by degrees of freedom (NIST/SEMATECH e-Handbook of Statistical
# Methods, section 1.3.6.7.4; from memory).
CRITICAL = {1: 10.828, 3: 16.266, 5: 20.515, 9: 27.877, 15: 37.697}

words = st.integers(0, WORD)


def numpy_philox(counter: Sequence[int], key: Sequence[int]) -> list[int]:
    """numpy's own Philox, which steps its counter before each block."""
    whole = sum(word << 64 * n for n, word in enumerate(counter))
    generator = np.random.Philox(counter=(whole - 1) % (1 << 256), key=key[0] + (key[1] << 64))
    return [int(word) for word in generator.random_raw(4)]


def chi_square(seen: Iterable[Any], expected: dict[Any, float]) -> float:
    counts = Counter(seen)
    assert set(counts) <= set(expected)
    return sum((counts[key] - mean) ** 2 / mean for key, mean in expected.items())


@pytest.mark.parametrize("name", KNOWN)
def test_philox_gives_the_published_answers(name: str) -> None:
    (counter, key), expected = KNOWN[name]
    assert philox(counter, key) == expected


@given(counter=st.tuples(words, words, words, words), key=st.tuples(words, words))
def test_philox_is_numpys(counter: Block, key: tuple[int, int]) -> None:
    assert list(philox(counter, key)) == numpy_philox(counter, key)


@given(seed=words)
def test_a_word_is_philox_at_the_digest_of_its_name(seed: int) -> None:
    """Put together again from hashlib's BLAKE2b (RFC 7693) and numpy's Philox."""
    name = blake2b(b"/wing/north/2:pitch", digest_size=32).digest()
    counter = [int(word) for word in np.frombuffer(name, dtype="<u8")]
    assert Draw(seed).at("wing", "north", 2).word("pitch") == numpy_philox(counter, (seed, 0))[0]


def test_draws_do_not_depend_on_their_order() -> None:
    names = [f"bay {n}" for n in range(50)]
    forward = {name: Draw(7).at(name).word("width") for name in names}
    backward = {name: Draw(7).at(name).word("width") for name in reversed(names)}
    assert forward == backward
    assert len(set(forward.values())) == 50


def test_seed_path_and_purpose_all_matter() -> None:
    draws = [Draw(7), Draw(8), Draw(7, "roof"), Draw(7).at("roof"), Draw(7).at("roof", "north")]
    found = {draw.word(purpose) for draw in draws for purpose in ("pitch", "ridge")}
    assert len(found) == 10
    assert Draw(7).at("roof", "north") == Draw(7).at("roof").at("north")


def test_the_global_generators_are_left_alone() -> None:
    before = random.getstate(), np.random.get_state(legacy=False)
    draw = Draw(7).at("fittings")
    draw.shuffled(range(20), "order")
    draw.choice("abc", "letter", (1, 2, 3))
    assert random.getstate() == before[0]
    np.testing.assert_equal(np.random.get_state(legacy=False), before[1])


@pytest.mark.parametrize("n", [2, 4, 6, 10, 16])
def test_numbers_below_are_even(n: int) -> None:
    by_name = [Draw(7).at(name).below(n, "n") for name in range(4000)]
    by_seed = [Draw(seed).below(n, "n") for seed in range(4000)]
    for seen in (by_name, by_seed):
        assert chi_square(seen, dict.fromkeys(range(n), 4000 / n)) < CRITICAL[n - 1]


def test_neighbouring_names_are_independent() -> None:
    """Pairs from names that differ in one digit fill the square evenly."""
    pairs = [(Draw(s).below(4, "bay 1"), Draw(s).below(4, "bay 2")) for s in range(4000)]
    square = {(a, b): 250.0 for a in range(4) for b in range(4)}
    assert chi_square(pairs, square) < CRITICAL[15]


def test_between_includes_both_ends() -> None:
    assert {Draw(seed).between(3, 5, "clear") for seed in range(100)} == {3, 4, 5}
    assert Draw(7).between(4, 4, "clear") == 4


def test_weighted_choices_keep_their_weights() -> None:
    weights = {"a": 1, "b": 2, "c": 0, "d": 7}
    seen = [Draw(s).choice("abcd", "letter", tuple(weights.values())) for s in range(4000)]
    expected = {key: 400.0 * weight for key, weight in weights.items() if weight}
    assert chi_square(seen, expected) < CRITICAL[3]


def test_a_choice_without_any_weight_is_refused() -> None:
    with pytest.raises(ValueError, match="no weight is positive at /roof:kind"):
        Draw(7).at("roof").choice("ab", "kind", (0, 0))


def test_chances_at_their_ends_are_certain() -> None:
    assert not any(Draw(seed).chance(0, 9, "open") for seed in range(200))
    assert all(Draw(seed).chance(9, 9, "open") for seed in range(200))


def test_every_order_comes_as_often() -> None:
    seen = [tuple(Draw(seed).shuffled("abc", "order")) for seed in range(4000)]
    assert chi_square(seen, dict.fromkeys(permutations("abc"), 4000 / 6)) < CRITICAL[5]
