"""Riad: a house of thick earth walls, plain outside, round a tiled and planted court."""
