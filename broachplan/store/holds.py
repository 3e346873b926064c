"""Pieces held for some work by the day. That a piece is held once a day is held by the database's unique index."""

from __future__ import annotations

from sqlalchemy import delete, insert

from broachplan.store.tables import HOLD
from broachplan.store.work import Work


def set_hold(work: Work, piece_id: int, day: str, for_what: str | None) -> None:
    """Hold a piece on a day, for other work than before, or with None for none."""
    work.connection.execute(delete(HOLD).where(HOLD.c.piece_id == piece_id, HOLD.c.day == day))
    if for_what is not None:
        work.connection.execute(insert(HOLD).values(piece_id=piece_id, day=day, for_what=for_what))
