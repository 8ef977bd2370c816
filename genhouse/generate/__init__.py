"""From a recipe to a house."""

from genhouse.generate.recipe import design_house

__all__ = ["design_house"]
