"""What was just held, released, inspected, booked, found or put into another box, in a line each."""

from __future__ import annotations

from typing import TYPE_CHECKING

from broachplan.crib.entries import day_held
from broachplan.crib.holds import runs
from tui.plain import plain

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from datetime import date

    from broachplan.crib.entries import Change
    from broachplan.desks.attendant.book_cuts import Booked
    from broachplan.desks.attendant.change_set import Moved
    from broachplan.desks.attendant.found_piece import FoundPiece
    from broachplan.desks.attendant.hold_piece import Held


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


def held_words(held: Held, what: str) -> str:
    """What was held, for what, on which days."""
    if not held.tags:
        return plain(f"{what} is held for {held.for_what} already")
    return plain(f"{', '.join(held.tags)} held for {held.for_what}, {_days(held.days)}")


def released_words(held: Held) -> str:
    """What was let go."""
    return plain(f"{', '.join(held.tags)} released, {_days(held.days)}: was held for {held.for_what}")


def inspected_words(tag: str, before: str, now: str) -> str:
    """What an inspection found."""
    apart = "" if now == "fit" else "; keep it apart, no plan uses it until it is fit"
    return plain(
        f"{tag} is {now}, as before{apart}" if now == before else f"{tag} was {before} and is {now}{apart}"
    )


def booked_words(booked: Booked) -> str:
    """What a broach has cut with what was booked, and what it is due for."""
    due = "".join(f"; {reason}" for reason in booked.due)
    return plain(f"{booked.tag}: {booked.wear.words(booked.units)}{due}")


def found_words(found: FoundPiece) -> str:
    """A piece that is missing no more."""
    home = f"; home: {found.home}" if found.home else ""
    return plain(f"{found.tag}, missing since {found.missing_since}, is found, {found.condition}{home}")


def moved_words(moved: Moved) -> str:
    """What is in which box now."""
    what = ", ".join(moved.tags)
    if not what:
        return plain(f"all of it is in {moved.into or 'no set'} already")
    out_of = f" out of {moved.out_of}" if moved.out_of else ""
    return plain(f"{what}{out_of} {f'put into {moved.into}' if moved.into else 'into no set'}")


def _days(days: Sequence[date]) -> str:
    return days_words(days[0], days[-1]) if days else ""
