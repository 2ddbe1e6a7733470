"""Fields in which one types, and lines that ask for a file."""
