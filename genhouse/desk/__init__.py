"""The desk: a page served to this machine on which a house is tried, changed, compared and taken away.

Every state is a recipe in an address (``address``).  What is shown of a recipe is pure work (``works``
names it) that benches do, processes of their own (``bench``), as the ``table`` hands it out: by turns,
what nobody waits for any longer left undone, what was done kept by its digest, up to a bound.  ``app``
says what is asked where, ``guard`` who may ask.
"""
