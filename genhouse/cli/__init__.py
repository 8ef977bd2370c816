"""The command line: thin commands, one file a noun."""
