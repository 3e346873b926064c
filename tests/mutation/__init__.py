"""Mutation testing of the rooms that decide: mutmut's mutants, each run in a fork of one process."""
