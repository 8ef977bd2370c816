"""From a recipe to a house."""
