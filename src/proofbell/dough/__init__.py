"""The dough's arithmetic: weights, temperature, fermentation, oven, probe, safety. Pure functions."""
