"""python -m genhouse: the command, where its script is not on the path."""

from genhouse.cli.start import start

if __name__ == "__main__":
    start()
