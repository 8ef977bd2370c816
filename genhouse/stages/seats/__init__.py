"""Seating the rooms: the programme as a puzzle, and the search for its best answer."""
