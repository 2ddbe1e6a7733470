"""What a formula file says: model, reader with line numbers, checks."""
