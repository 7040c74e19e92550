"""From a question to a trial that can answer it: trays, power, two-stage rules."""
