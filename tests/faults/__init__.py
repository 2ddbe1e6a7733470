"""Faults from outside, made on purpose: kills, power cuts, two programs at once."""
