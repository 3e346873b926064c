"""Jobs for the tests."""

from __future__ import annotations

from datetime import date
from typing import Any

from broachplan.jobs.job import Job

QUESTION = {"bore": "25 mm", "hub_length": "17 mm", "keyway_width": "7 mm ±0.02", "reading": "28.1 mm ±0.05"}


def a_job(number: str = "J-1", **beside: Any) -> Job:
    """A job due 2031-05-28 unless said otherwise."""
    return Job(**{"number": number, "question": QUESTION, "due": date(2031, 5, 28), **beside})
