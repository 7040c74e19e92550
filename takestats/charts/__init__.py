"""Results turned into figures: the only room that draws."""
