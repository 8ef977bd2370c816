"""Named draws: every choice is a pure function of (seed, path, purpose).

There is no stream to advance, so a stage that draws more moves no other stage, and the order in
which things are asked never matters.  A draw is the first word of one block of Philox4x64-10, the
counter-based generator of J. Salmon, M. Moraes, R. Dror and D. Shaw, "Parallel random numbers: as
easy as 1, 2, 3", SC11 (2011): the key is the seed, the counter is a BLAKE2b digest (RFC 7693) of
the name.  All arithmetic is on whole numbers.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from hashlib import blake2b
from struct import Struct
from typing import TypeVar

T = TypeVar("T")
Block = tuple[int, int, int, int]

WORD = (1 << 64) - 1
_M0, _M1 = 0xD2E7470EE14C6C93, 0xCA5A826395121157
_W0, _W1 = 0x9E3779B97F4A7C15, 0xBB67AE8584CAA73B
_FOUR_WORDS = Struct("<4Q")


def philox(counter: Block, key: tuple[int, int]) -> Block:
    """One block of Philox4x64-10: four 64-bit words."""
    c0, c1, c2, c3 = counter
    for k0, k1 in _round_keys(*key):
        low, high = _M0 * c0, _M1 * c2
        c0, c1 = (high >> 64) ^ c1 ^ k0, high & WORD
        c2, c3 = (low >> 64) ^ c3 ^ k1, low & WORD
    return c0, c1, c2, c3


@lru_cache(maxsize=64)
def _round_keys(k0: int, k1: int) -> tuple[tuple[int, int], ...]:
    """The key of each round: a house draws hundreds of words with one."""
    return tuple(((k0 + n * _W0) & WORD, (k1 + n * _W1) & WORD) for n in range(10))


@dataclass(frozen=True, slots=True)
class Draw:
    """A place from which named draws are made.

    >>> Draw(7, "roof").below(6, "pitch") == Draw(7, "roof").below(6, "pitch")
    True
    """

    seed: int
    path: str = ""

    def at(self, *names: object) -> Draw:
        """The place below this one: ``draw.at("wing", "north", 2)``."""
        return Draw(self.seed, "/".join((self.path, *map(str, names))))

    def word(self, purpose: str) -> int:
        """64 random bits for this purpose, here."""
        name = blake2b(f"{self.path}:{purpose}".encode(), digest_size=32).digest()
        c0, c1, c2, c3 = _FOUR_WORDS.unpack(name)
        return philox((c0, c1, c2, c3), (self.seed & WORD, 0))[0]

    def below(self, n: int, purpose: str) -> int:
        """A whole number from 0 to n - 1 (its bias is under n / 2**64)."""
        return self.word(purpose) * n >> 64

    def between(self, low: int, high: int, purpose: str) -> int:
        """A whole number from low to high, both included."""
        return low + self.below(high - low + 1, purpose)

    def chance(self, part: int, whole: int, purpose: str) -> bool:
        """True in part of whole cases."""
        return self.below(whole, purpose) < part

    def choice(self, options: Sequence[T], purpose: str, weights: Sequence[int] | None = None) -> T:
        """One of the options, by whole-number weights where given."""
        if weights is None:
            return options[self.below(len(options), purpose)]
        if len(weights) != len(options):
            raise ValueError(
                f"{len(options)} options, {len(weights)} weights at {self.path}:{purpose}"
            )
        left = self.below(sum(weights), purpose)
        for option, weight in zip(options, weights, strict=True):
            left -= weight
            if left < 0:
                return option
        raise ValueError(f"no weight is positive at {self.path}:{purpose}")

    def shuffled(self, options: Sequence[T], purpose: str) -> list[T]:
        """All the options in a random order: by the numbers of one drawn word."""
        word = self.word(purpose)
        order = sorted(range(len(options)), key=lambda n: nth(word, n))
        return [options[n] for n in order]


def nth(word: int, n: int) -> int:
    """The n-th number of a drawn word: SplitMix64 (Steele, Lea and Flood, OOPSLA 2014)."""
    z = word + (n + 1) * 0x9E3779B97F4A7C15 & WORD
    z = (z ^ z >> 30) * 0xBF58476D1CE4E5B9 & WORD
    z = (z ^ z >> 27) * 0x94D049BB133111EB & WORD
    return z ^ z >> 31
