"""Lighting: where lamps may go, what they bring, and the fewest that are enough."""
