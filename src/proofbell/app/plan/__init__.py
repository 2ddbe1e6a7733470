"""The page that plans several doughs."""
