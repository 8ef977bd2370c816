"""The nouns that cross folders, frozen all the way down."""
