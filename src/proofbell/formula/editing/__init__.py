"""Changing a formula file: one figure at a time, and nothing else."""
