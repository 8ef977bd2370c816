"""Traditions: everything about a way of building that is data, one TOML file each."""

from genhouse.traditions.loader import Fitting, Kind, Tradition, load_tradition, names

__all__ = ["Fitting", "Kind", "Tradition", "load_tradition", "names"]
