"""The page that chooses a formula and sizes it."""
