"""Masonry: bearing walls a whole cell thick, piers and arches; what traditions that build so rest on."""
