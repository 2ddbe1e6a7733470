"""Input fields, and lines that ask for a file."""
