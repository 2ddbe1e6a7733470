"""The page that makes a formula of a recipe as people write it down."""
