"""What one shows a house with: a cover, cutaways, a turning picture, a sheet of its steps, and a text."""
