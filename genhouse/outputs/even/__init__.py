"""Long even work, told once with its rule, and what breaks it."""
