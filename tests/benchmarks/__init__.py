"""Benchmarks: ratios measured in one run, printed by `python -m tests.benchmarks`."""
