<<<<<<< HEAD
"""From past seasons and plants wanted to next season's understock, wood, trays, days and money."""
=======
"""From takes and targets to what is lined up, cut and grafted next season."""
>>>>>>> limits
