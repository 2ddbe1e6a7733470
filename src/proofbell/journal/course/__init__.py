"""Many bakes at once: the course of one formula, what goes with the good ones, a week, tables."""
