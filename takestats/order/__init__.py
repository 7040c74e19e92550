"""From past seasons and plants wanted to next season's understock, wood, trays, days and money."""
