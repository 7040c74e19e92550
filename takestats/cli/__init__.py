"""The command line: one file per command, each read like a recipe."""
