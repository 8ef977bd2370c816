"""Traditions: everything about a way of building that is data, a folder of TOML files each."""
