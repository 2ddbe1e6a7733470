"""The bench: the day as strips, the selected dough, what comes up, the far view."""
