"""What the program stands on; nothing here knows what a house is."""
