"""From treatments and blocks to a bench layout drawn by lot: data, not files."""
