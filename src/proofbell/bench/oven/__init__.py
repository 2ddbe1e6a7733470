"""The one oven as all doughs share it: whose turn it is, how hot it is, what is done at it."""
