"""A probe that hands in line after line: what a line says, which are worth keeping, what the bench shows of them."""
