"""The dialog that takes a reading."""
