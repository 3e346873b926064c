"""What pieces have done: one row for each piece that has done anything."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from typing import Any

from sqlalchemy import delete, insert, select

from broachplan.crib.entries import OF_WEAR, Change
from broachplan.crib.wear import Wear, changes_of, has_limits, why_due
from broachplan.errors import StorageError
from broachplan.settings import Settings
from broachplan.store.records_read import in_lots
from broachplan.store.tables import PIECE, WEAR
from broachplan.store.transaction import Work
from broachplan.tooling.figures import Kind

_COLUMNS = (WEAR.c.piece_id, *(WEAR.c[name] for name in OF_WEAR))


def wear_of(work: Work, piece_ids: Iterable[int]) -> dict[int, Wear]:
    """The wear of some pieces by their ids; of one that has done nothing too.

    Raises
    ------
    StorageError : a day that is none.
    """
    ids = list(piece_ids)
    found = dict.fromkeys(ids, Wear())
    for lot in in_lots(ids):
        for row in work.connection.execute(select(*_COLUMNS).where(WEAR.c.piece_id.in_(lot))).mappings():
            found[row["piece_id"]] = _wear(dict(row))
    return found


def due_broaches(work: Work, tags: Iterable[str], settings: Settings, on: date | None) -> dict[str, str]:
    """Those of some broaches that are due for inspection or a regrind, with what for and why."""
    if not has_limits(settings):
        return {}
    asked = set(tags)
    found = {tag: why_due(wear, settings, on) for tag, wear in wear_of_broaches(work).items() if tag in asked}
    return {tag: "; ".join(why) for tag, why in found.items() if why}


def wear_of_broaches(work: Work) -> dict[str, Wear]:
    """The wear of every broach that is not retired, by tag; see `wear_of`."""
    query = (
        select(PIECE.c.tag, *_COLUMNS)
        .select_from(PIECE.outerjoin(WEAR, WEAR.c.piece_id == PIECE.c.id))
        .where(PIECE.c.kind == Kind.BROACH.value, PIECE.c.retired == 0)
    )
    found = {row["tag"]: _wear(dict(row)) for row in work.connection.execute(query).mappings()}
    return {tag: found[tag] for tag in sorted(found)}


def change_wear(work: Work, piece_id: int, before: Wear, after: Wear) -> tuple[Change, ...]:
    """Write a piece's wear; what became different, for an entry."""
    keep_wear(work, piece_id, after.values)
    return changes_of(before, after)


def keep_wear(work: Work, piece_id: int, values: Mapping[str, Any]) -> None:
    """Write a piece's wear under the names in `OF_WEAR`; what has no value is nothing, or a day not known."""
    work.connection.execute(delete(WEAR).where(WEAR.c.piece_id == piece_id))
    row = {name: values[name] for name in OF_WEAR if values[name] is not None}
    if row:
        work.connection.execute(insert(WEAR).values(piece_id=piece_id, **row))


def _wear(row: Mapping[str, Any]) -> Wear:
    try:
        return Wear.of(row)
    except ValueError as error:
        raise StorageError(
            f"the crib holds wear that cannot be, of piece {row['piece_id']}: {error}"
        ) from error
