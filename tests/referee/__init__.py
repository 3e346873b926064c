"""Referees: slow and separate ways to the same answers, which the planner must match."""
