"""Run the command line with ``python -m takestats``."""

from takestats.cli.app import run

if __name__ == "__main__":
    run()
