"""The roof's helpers: profiles, prisms and their ends, what rises from them, the timbers under them."""
