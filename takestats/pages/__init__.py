"""Results and charts turned into pages and tables: the only room that writes HTML."""
