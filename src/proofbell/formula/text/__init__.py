"""A formula file as text: guarded, parsed, with the place of each value."""
