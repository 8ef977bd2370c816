"""The order of building: every piece in its turn, as data."""
