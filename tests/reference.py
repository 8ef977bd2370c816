"""Published values, read from ``shared/reference``; each table there names its source."""

from __future__ import annotations

import tomllib
from functools import cache
from pathlib import Path
from typing import Any

SHARED = Path(__file__).parent.parent / "shared"


@cache
def published(name: str) -> dict[str, Any]:
    """The tables of one file of published values."""
    return tomllib.loads((SHARED / "reference" / f"{name}.toml").read_text("utf-8"))
