"""Furnishing: where a fitting may stand, what that is worth, and the search over a whole house."""
