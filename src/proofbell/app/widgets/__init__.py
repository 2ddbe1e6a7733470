"""What every page is made of: rows, fields, lines, dialogs, the registry of keys."""
