"""The pages about this kitchen and its probe."""
