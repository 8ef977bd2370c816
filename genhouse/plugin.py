"""A plug-in for pytest: houses as test geometry.

``house``: a test that asks for it runs once with each of ``--houses N`` houses.  ``houses``: all of them
at once, in order.  ``--house-seeds A:B`` says which seeds they are of.  Override ``house_brief`` for
houses of a brief:

    @pytest.fixture(scope="session")
    def house_brief():
        return {"plot": (20, 24), "storeys": 1}

Houses are designed once a session, and a test must not change them: their arrays are read-only.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any

import pytest

if TYPE_CHECKING:
    from genhouse import Brief, House

HOUSES = 3
"""How many, if not said."""


def pytest_addoption(parser: pytest.Parser) -> None:
    """The options of the plug-in."""
    group = parser.getgroup("genhouse", "houses as test geometry")
    group.addoption("--houses", type=int, help=f"How many houses a test is run with ({HOUSES}).")
    group.addoption("--house-seeds", metavar="A:B", help="Seeds of the houses; 0:N if not given.")


def pytest_configure(config: pytest.Config) -> None:
    """Refuse what makes no sense before any test is run."""
    house_seeds(config)


def house_seeds(config: pytest.Config) -> range:
    """The seeds that the options ask for."""
    from genhouse.core.errors import BriefError

    many, words = config.getoption("--houses"), config.getoption("--house-seeds")
    if many is not None and many < 1:
        raise pytest.UsageError(f"--houses: {many} is not 1 or more")
    if words is None:
        return range(many or HOUSES)
    from genhouse.cli.words import SEEDS

    try:
        seeds: range = SEEDS.convert(words, None, None)
    except BriefError as error:
        raise pytest.UsageError(f"--house-seeds: {error}") from error
    if many is not None and many > len(seeds):
        raise pytest.UsageError(
            f"--house-seeds: {words!r} holds {len(seeds)}, and --houses is {many}"
        )
    return seeds[:many]


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    """A run for each seed, of every test that asks for a house."""
    if "house_seed" in metafunc.fixturenames:
        seeds = house_seeds(metafunc.config)
        metafunc.parametrize("house_seed", seeds, ids=[f"house-{n}" for n in seeds])


@pytest.fixture(scope="session")
def house_brief() -> Brief | Mapping[str, Any] | None:
    """The brief of the houses: None leaves all to the seed.  Override it."""
    return None


@pytest.fixture(scope="session")
def house_of(house_brief: Brief | Mapping[str, Any] | None) -> Callable[[int], House]:
    """The house of a seed, designed once."""
    made: dict[int, House] = {}

    def house(seed: int) -> House:
        from genhouse import design

        if seed not in made:
            made[seed] = design(seed, house_brief)
        return made[seed]

    return house


@pytest.fixture
def house(house_seed: int, house_of: Callable[[int], House]) -> House:
    """A sound house."""
    return house_of(house_seed)


@pytest.fixture(scope="session")
def houses(pytestconfig: pytest.Config, house_of: Callable[[int], House]) -> tuple[House, ...]:
    """All the houses, in the order of their seeds."""
    return tuple(house_of(seed) for seed in house_seeds(pytestconfig))
