"""Figures of a house: what is measured, and what it means."""
