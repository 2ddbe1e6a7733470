"""The SQLite store: append, read past damage, letters, caches, why a write failed."""
