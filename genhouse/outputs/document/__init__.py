"""The design document, ``house.json``."""
