"""Days that are held or free, in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from broachplan.crib.entries import day_held
from broachplan.crib.holds import runs

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import date

    from broachplan.crib.entries import Change


def days_words(first: date, last: date) -> str:
    """A day, or from one to another."""
    return str(first) if first == last else f"{first} to {last}"


def hold_changes_words(changes: Iterable[Change]) -> list[str]:
    """Days that became held or free, as far as changes tell any; days that follow each other in one line."""
    held: dict[date, str] = {}
    free: dict[date, str] = {}
    for change in changes:
        day = day_held(change.name)
        if day is not None and change.new:
            held[day] = str(change.new)
        elif day is not None:
            free[day] = str(change.old)
    told = [f"held {days_words(first, last)} for {what}" for what, first, last in runs(held)]
    return told + [f"held no more {days_words(first, last)} for {what}" for what, first, last in runs(free)]
