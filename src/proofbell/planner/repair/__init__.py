"""Schedule repair: mend an order that no longer works, and change as little as possible of one that does."""
