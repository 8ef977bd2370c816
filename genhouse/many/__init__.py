"""Many houses for one brief, measured, ranked and told apart."""
