"""Houses that are made, kept on disk beside the folder that is being written: a run that was killed goes on
with them, and makes none twice."""

from __future__ import annotations

import hashlib
import os
from pathlib import Path

import msgspec

from genhouse.core.learned import learned
from genhouse.model.brief import Recipe
from genhouse.village.houses import Built
from genhouse.village.roster import recipe_json


class Shelf:
    """A folder of houses, a file each, named by what they are made from."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        folder.mkdir(parents=True, exist_ok=True)

    def get(self, recipe: Recipe) -> Built | None:
        """The house of a recipe, where it was made whole; a file that is cut short counts for nothing."""
        try:
            found = msgspec.msgpack.decode(self._file(recipe).read_bytes(), type=learned(Built))
        except (OSError, ValueError):
            return None
        return found if found.recipe == recipe else None

    def put(self, built: Built) -> None:
        """Keep a house: whole, or not at all."""
        file = self._file(built.recipe)
        spare = file.with_suffix(".new")
        spare.write_bytes(msgspec.msgpack.encode(built))
        os.replace(spare, file)  # noqa: PTH105 - one step, over what stands there

    def _file(self, recipe: Recipe) -> Path:
        name = hashlib.sha256(recipe_json(recipe).encode()).hexdigest()[:32]
        return self.folder / f"{name}.house"
