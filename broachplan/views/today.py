"""The view of a list of what there is now."""

from __future__ import annotations

from broachplan.sheets.table import View


def today(_: object) -> View:
    """By the day that it is."""
    from broachplan.desks.attendant.clock import day

    return View(day(None))
