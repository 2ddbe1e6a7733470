"""What ``proofbell kitchen`` does besides showing and changing a fact."""
