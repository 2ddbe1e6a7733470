"""Reading line after line from standard input."""
