"""The siheyuan: its tables, and its trades."""
