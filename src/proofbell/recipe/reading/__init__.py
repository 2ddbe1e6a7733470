"""Reads the words: numbers, lengths, ingredient lines, the method, and whose measures they are."""
