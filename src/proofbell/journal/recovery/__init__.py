"""Backups, checks, and what is saved of a damaged journal."""
