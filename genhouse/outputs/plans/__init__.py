"""Drawings on paper: floor plans, the plan of light, the room graph."""
