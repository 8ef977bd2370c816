"""genhouse: courtyard houses for block worlds, from a seed."""
