"""The numbers of drawn words, many at once: ``draw.nth`` over arrays."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

Words = npt.NDArray[np.uint64]


def nths(words: Sequence[int], which: Sequence[int]) -> list[list[int]]:
    """Some numbers of each of some words."""
    found: list[list[int]] = numbers(
        np.array(words, dtype=np.uint64)[:, None], np.array(which, dtype=np.uint64)
    ).tolist()
    return found


def numbers(words: Words, which: Words | np.uint64) -> Words:
    """SplitMix64 (Steele, Lea and Flood, OOPSLA 2014)."""
    z = words + (which + np.uint64(1)) * np.uint64(0x9E3779B97F4A7C15)
    z = (z ^ z >> np.uint64(30)) * np.uint64(0xBF58476D1CE4E5B9)
    z = (z ^ z >> np.uint64(27)) * np.uint64(0x94D049BB133111EB)
    found: Words = z ^ z >> np.uint64(31)
    return found
