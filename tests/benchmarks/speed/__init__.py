"""How fast the program is, each figure beside a bare yardstick: ``python -m tests.benchmarks.speed``."""
