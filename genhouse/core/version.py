"""Which genhouse this is: its version, and what its files say."""

from __future__ import annotations

import hashlib
from functools import cache
from pathlib import Path

__version__ = "0.1.0"

PACKAGE = Path(__file__).parents[1]
KINDS = (".py", ".toml", ".j2")
"""Files on which a house or a row may hang."""


@cache
def build() -> str:
    """The version and eight digits of the SHA-256 of the package's files: another text, another build.

    Written as PEP 440 has a local version.
    """
    hashed = hashlib.sha256()
    for path in sorted(p for p in PACKAGE.rglob("*") if p.suffix in KINDS):
        hashed.update(f"{path.relative_to(PACKAGE).as_posix()}\n".encode() + path.read_bytes())
    return f"{__version__}+{hashed.hexdigest()[:8]}"
