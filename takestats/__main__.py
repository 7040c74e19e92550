"""Run the command line with ``python -m takestats``."""

from takestats.cli.begin import begin

if __name__ == "__main__":
    begin()
