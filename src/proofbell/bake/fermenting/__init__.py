"""What a dough on the bench ferments by, and what the cold makes of it."""
