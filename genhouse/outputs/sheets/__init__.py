"""Layer sheets: one drawing a level, from which the house can be built cell by cell."""
