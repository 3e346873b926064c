"""Are the counts possible, and were the settled ones settled?"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from sqlalchemy import func, select

from broachplan.crib.counts import CORRECTED, Mismatch
from broachplan.store.tables import COUNT, COUNT_LINE, ENTRY, PIECE
from broachplan.store.transaction import Work

_CORRECTED = [mismatch.value for mismatch in CORRECTED]


def broken_counts(work: Work) -> Iterator[str]:
    """Each difference must agree with what was expected and found; a settled count must have settled them all."""
    yield from _without_settling(work)
    act = func.coalesce(func.max(ENTRY.c.action_id), 0).label("act")
    last = select(PIECE.c.tag, act).outerjoin(ENTRY, ENTRY.c.piece_id == PIECE.c.id)
    touched = last.group_by(PIECE.c.tag).subquery()
    query = (
        select(COUNT_LINE, COUNT.c.settled_at, COUNT.c.after_action, touched.c.act)
        .join(COUNT, COUNT.c.id == COUNT_LINE.c.count_id)
        .outerjoin(touched, touched.c.tag == COUNT_LINE.c.tag)
        .order_by(COUNT.c.id, COUNT_LINE.c.tag)
    )
    for row in work.connection.execute(query):
        if wrong := _wrong(row):
            yield f"count {row.count_id}: {row.tag} {wrong}"


def _without_settling(work: Work) -> Iterator[str]:
    query = select(COUNT.c.id).where(COUNT.c.action_id.is_not(None), COUNT.c.settled_at.is_(None))
    yield from (
        f"count {id} names an act that settled it and is open"
        for id in work.connection.scalars(query.order_by(COUNT.c.id))
    )


def _wrong(line: Any) -> str:
    """What is wrong with a line of a count; empty where nothing is."""
    flags = bool(line.expected), bool(line.found)
    may: dict[tuple[bool, bool], list[str]] = {
        (True, True): [""],
        (True, False): [Mismatch.ABSENT],
        (False, False): [],
    }
    # What was found against the books differs in any other way.
    others = [mismatch.value for mismatch in Mismatch if mismatch not in ("", Mismatch.ABSENT)]
    if line.difference not in may.get(flags, others):
        booked = line.difference or "in order"
        return (
            f"is booked as {booked}, {_said('expected', holds=flags[0])} and {_said('found', holds=flags[1])}"
        )
    if bool(line.cause) is not (line.settled_at is not None and line.difference != ""):
        return "has a cause and is not a settled difference" if line.cause else "is settled without a cause"
    # A tag that no piece bears was given back when the addition of its piece was undone.
    touched = line.act is None or line.act > (line.after_action or 0)
    if line.settled_at and line.difference in _CORRECTED and not touched:
        return "is settled, and no act has touched it since it was counted"
    return ""


def _said(word: str, *, holds: bool) -> str:
    return word if holds else f"not {word}"
