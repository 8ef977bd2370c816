"""Of what genhouse offers by name, at least half is shown at work by an example that runs."""

from __future__ import annotations

import inspect
import re
from collections.abc import Iterator

import genhouse
from tests.docs.test_site import PAGES, samples

LEAST = 0.5
"""Part of all public names."""
SAMPLES = "\n".join(text for page in PAGES for kind, text in samples(page) if kind == "python")
"""Of the documents; ``test_site`` runs them."""


def names() -> Iterator[tuple[str, object]]:
    """What genhouse offers, and what its classes do: each with its docstring's owner."""
    for name in genhouse.__all__:
        offered = getattr(genhouse, name)
        yield f"genhouse.{name}", offered
        if inspect.isclass(offered):
            for own, value in vars(offered).items():
                found = getattr(value, "fget", None) or getattr(value, "__func__", value)
                if not own.startswith("_") and callable(found):
                    yield f".{own}", found


def shown(name: str, offered: object) -> bool:
    """Whether its own docstring or a sample of the documents has it at work."""
    return ">>>" in (inspect.getdoc(offered) or "") or bool(
        re.search(re.escape(name) + r"\b", SAMPLES)
    )


def test_half_of_all_public_names_have_a_running_example() -> None:
    lacking = [name for name, offered in names() if not shown(name, offered)]
    every = len(list(names()))
    assert every > 40
    assert len(lacking) <= (1 - LEAST) * every, lacking
