"""A survey: very many houses designed, inspected and measured, a row each, and what they tell."""
