"""Days as people say them: ``Mon 30 Nov 2026``, in a narrow column ``30 Nov``. No language of the system changes them."""

from __future__ import annotations

from datetime import date

_DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
# Beyond this the year is said too.
_SURE_OF_THE_YEAR = 300


def short_day(day: date, on: date) -> str:
    """A day without its weekday, and without its year where that is plain from the day of asking."""
    year = f" {day.year}" if abs((day - on).days) > _SURE_OF_THE_YEAR else ""
    return f"{day.day} {_MONTHS[day.month - 1]}{year}"


def named_day(day: date, on: date) -> str:
    """A day with its weekday."""
    return f"{_DAYS[day.weekday()]} {short_day(day, on)}"


def whole_day(day: date) -> str:
    """A day with its weekday and its year."""
    return f"{_DAYS[day.weekday()]} {day.day} {_MONTHS[day.month - 1]} {day.year}"


def span_of_days(first: date, last: date, on: date) -> str:
    """One day, or from one to another."""
    return short_day(first, on) if first == last else f"{short_day(first, on)} to {short_day(last, on)}"
