"""Schedule repair: repair an order that no longer works, and change as little as possible of one that does."""
