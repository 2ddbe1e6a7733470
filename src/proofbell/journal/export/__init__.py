"""Every form a bake can be taken away in."""
