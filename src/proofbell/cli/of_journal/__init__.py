"""The parts of ``proofbell journal`` that are too long for one file."""
