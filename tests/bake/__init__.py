"""Tests of one live bake."""
