"""Broaching setup planner and tooling inventory for hub keyways."""

__version__ = "0.1.0"
