"""Domus: a Roman town house on one axis, from the street through the atrium to a garden with columns."""
