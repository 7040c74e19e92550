"""How often do the limits hold what they promise? Simulated trials, slow, marked apart."""
