"""Isometric pictures: the house as an architect's model."""
