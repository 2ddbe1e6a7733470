"""The files that formulas are in: written with care, and looked at for changes."""
