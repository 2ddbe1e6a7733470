"""A day of doughs as the planner sees it, and what its plan says at the bench: hours, questions, reasons."""
