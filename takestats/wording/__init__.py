"""The only room that rounds: numbers and results turned into words."""
