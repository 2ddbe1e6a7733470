"""Timers of the baker's own at the bench: asked for, stopped, answered."""
