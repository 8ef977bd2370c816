"""Court gardens: the lot, what is laid and planted on it, and a composer for each kind."""
