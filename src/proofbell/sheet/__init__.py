"""The day for the wall, as a text and as a page: rows to tick, a card for each dough."""
