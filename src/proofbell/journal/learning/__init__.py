"""What this kitchen does: habits learned from its bakes, with how sure they are."""
