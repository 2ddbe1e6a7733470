"""The day for the wall: a row for what hands do in one go, a card for each dough."""
