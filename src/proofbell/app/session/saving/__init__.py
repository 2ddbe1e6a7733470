"""How what was said reaches the disk, and what is done while it cannot."""
