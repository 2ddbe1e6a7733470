"""What the commands print for people."""
