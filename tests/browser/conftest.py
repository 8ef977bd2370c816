"""The pages that are tried, made once."""

from __future__ import annotations

from pathlib import Path

import pytest

from genhouse.house import design


@pytest.fixture(scope="session")
def saved(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of a house."""
    return design(7, {"plot": [21, 26]}).save(tmp_path_factory.mktemp("page") / "house")
