"""From takes and targets to what is lined up, cut and grafted next season."""
