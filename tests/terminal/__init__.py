"""The program in a real pseudo-terminal."""
