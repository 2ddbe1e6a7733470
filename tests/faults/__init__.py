"""Harnesses for what must be survived: faults of the program, of the disk and of the clock, and kills."""
