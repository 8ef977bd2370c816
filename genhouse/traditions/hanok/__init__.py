"""The hanok: its tables."""
