"""Arrangements: how wings stand round the courts of a house and go on past them."""
