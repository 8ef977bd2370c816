"""Traditions: everything about a way of building that is data, one TOML file each."""
