"""Houses that are made, kept on disk beside the folder that is being written: a run that was killed goes on
with them, and makes none twice."""

from __future__ import annotations

import hashlib
import os
from pathlib import Path

import msgspec

from genhouse.core.errors import GenhouseError
from genhouse.core.learned import learned
from genhouse.many.distinct import Features
from genhouse.many.outside import Look
from genhouse.model.brief import Recipe
from genhouse.outputs.arrays import parse_voxels, voxels_bytes
from genhouse.village.houses import Built
from genhouse.village.plots import Plot
from genhouse.village.roster import recipe_json

LONGEST = 8
"""Bytes that say how long the head of a file is."""


class Head(msgspec.Struct, frozen=True, kw_only=True):
    """What is kept of a house beside its cells."""

    recipe: str
    digest: str
    rooms: int
    storeys: int
    uses: tuple[str, ...]
    areas: tuple[tuple[str, int], ...]
    build: tuple[int, ...]
    heights: tuple[bytes, ...]
    roof: str
    walls: str
    fronts: tuple[tuple[str, ...], ...]


class Shelf:
    """A folder of houses, a file each, named by what they are made from."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        folder.mkdir(parents=True, exist_ok=True)

    def get(self, recipe: Recipe, plot: Plot, tries: int) -> Built | None:
        """The house of a recipe, where it was made whole; a file that is cut short counts for nothing."""
        text = recipe_json(recipe)
        try:
            contents = self._file(text).read_bytes()
            size = int.from_bytes(contents[:LONGEST], "big")
            head = msgspec.json.decode(contents[LONGEST : LONGEST + size], type=learned(Head))
            voxels = parse_voxels(contents[LONGEST + size :])
        except (OSError, ValueError, GenhouseError):
            return None
        if head.recipe != text:
            return None
        look = Look(heights=head.heights, roof=head.roof, walls=head.walls, fronts=head.fronts)
        return Built(
            plot=plot,
            recipe=recipe,
            voxels=voxels,
            features=Features(uses=head.uses, areas=head.areas, build=head.build, look=look),
            digest=head.digest,
            tries=tries,
            rooms=head.rooms,
            storeys=head.storeys,
        )

    def put(self, built: Built) -> None:
        """Keep a house: whole, or not at all."""
        text, like = recipe_json(built.recipe), built.features
        head = Head(
            recipe=text,
            digest=built.digest,
            rooms=built.rooms,
            storeys=built.storeys,
            uses=like.uses,
            areas=like.areas,
            build=like.build,
            heights=like.look.heights,
            roof=like.look.roof,
            walls=like.look.walls,
            fronts=like.look.fronts,
        )
        told = msgspec.json.encode(head)
        file = self._file(text)
        spare = file.with_suffix(".new")
        spare.write_bytes(len(told).to_bytes(LONGEST, "big") + told + voxels_bytes(built.voxels))
        os.replace(spare, file)  # noqa: PTH105 - one step, over what stands there

    def _file(self, recipe: str) -> Path:
        return self.folder / f"{hashlib.sha256(recipe.encode()).hexdigest()[:32]}.house"
