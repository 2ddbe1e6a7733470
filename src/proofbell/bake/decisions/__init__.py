"""Deciding: what an intent makes happen, or why it cannot."""
