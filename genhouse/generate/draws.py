"""Where each stage of a recipe draws from; and what is drawn anew of a house that was not sound."""

from __future__ import annotations

from dataclasses import dataclass, replace

from genhouse.core.draw import Draw
from genhouse.model.brief import STAGE_NAMES, Recipe

Anew = tuple[tuple[str, int], ...]
"""(stage, number) pairs: from this stage on all is drawn anew by this number; later pairs win."""


@dataclass(frozen=True, slots=True)
class Draws:
    """The named draws of a recipe.  Drawing a stage anew leaves all before it to the byte."""

    recipe: Recipe
    anew: Anew = ()

    def of(self, stage: str) -> Draw:
        """A stage's place to draw from, by its own seed where it has one."""
        return self._at(self.recipe.seed_of(stage), stage)

    def own(self, stage: str) -> Draw:
        """The same by the house's seed."""
        return self._at(self.recipe.seed, stage)

    def up_to(self, stage: str) -> Draws:
        """The same for a stage and all before it, with nothing of what comes after."""
        near = STAGE_NAMES[: STAGE_NAMES.index(stage) + 1]
        seeds = tuple(pair for pair in self.recipe.stage_seeds if pair[0] in near)
        anew = tuple(pair for pair in self.anew if pair[0] in near)
        return Draws(replace(self.recipe, stage_seeds=seeds), anew)

    def _at(self, seed: int, stage: str) -> Draw:
        number = 0
        for since, n in self.anew:
            if STAGE_NAMES.index(since) <= STAGE_NAMES.index(stage):
                number = n
        here = Draw(seed).at(stage)
        return here.at("anew", number) if number else here
