"""A formula's file, changed: in the person's own editor, or one figure at a time."""
