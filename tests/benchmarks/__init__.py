"""Benchmarks that anyone can run: `python -m tests.benchmarks NAME`. They print ratios; they are not timed tests."""
