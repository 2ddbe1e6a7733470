"""Proofbell follows bread formulas live at the bench."""

__version__ = "0.1.0"
