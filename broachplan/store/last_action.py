"""The number of the last action: where it is another one, something was changed meanwhile, at whatever station."""

from __future__ import annotations

from sqlalchemy import func, select

from broachplan.store.tables import ACTION
from broachplan.store.transaction import Work


def last_action(work: Work) -> int | None:
    """The number of the last action on the crib; None before the first."""
    last: int | None = work.connection.scalar(select(func.max(ACTION.c.id)))
    return last
