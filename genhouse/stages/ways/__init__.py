"""Ways: how walls are opened, where one comes in, where a flight fits."""
