"""What saved documents call themselves; light to import, for a look at a folder before any work."""

from __future__ import annotations

from typing import Literal

HOUSE_FORMAT: Literal["genhouse-house"] = "genhouse-house"
