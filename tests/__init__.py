"""Tests of Proofbell."""
