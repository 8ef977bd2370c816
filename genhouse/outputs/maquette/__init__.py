"""A house as a model on a page, which turns, is cut at any layer, and tells of each cell what it is."""
