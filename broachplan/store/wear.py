"""What pieces have done: one row for each piece that has done anything."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from sqlalchemy import delete, insert

from broachplan.crib.entries import OF_WEAR
from broachplan.store.tables import WEAR
from broachplan.store.work import Work


def keep_wear(work: Work, piece_id: int, values: Mapping[str, Any]) -> None:
    """Write a piece's wear, told by the names in `OF_WEAR`; what has no value is nothing, or a day not known."""
    work.connection.execute(delete(WEAR).where(WEAR.c.piece_id == piece_id))
    row = {name: values[name] for name in OF_WEAR if values[name] is not None}
    if row:
        work.connection.execute(insert(WEAR).values(piece_id=piece_id, **row))
