"""What the bench shows: header, strips, the dough in hand and what comes up, from one moment."""
