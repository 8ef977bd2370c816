"""Timber: a frame of posts and beams, filled with plaster, mats and screens."""
