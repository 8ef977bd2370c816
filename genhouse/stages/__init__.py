"""The stages, in building order; each is a pure function from frozen parts to a frozen plan."""
