"""Benchmarks, run by hand: never collected as tests."""
