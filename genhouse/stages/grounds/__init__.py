"""The ground of a plot that no court has: where it lies, what bounds it, and what each part is for."""
