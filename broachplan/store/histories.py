"""Do the histories lead to what the crib holds?"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from typing import Any

from sqlalchemy import ColumnElement, Select, select

from broachplan.crib.entries import HELD, OF_WEAR, Entry, Value, taken_back
from broachplan.store.entries import COLUMNS_OF_ENTRY, entry_of
from broachplan.store.records_read import in_lots, record_query
from broachplan.store.tables import ACTION, ENTRY, HOLD, LOAN, PIECE, WEAR
from broachplan.store.transaction import Work
from broachplan.tooling.figures import Kind

_LOAN = {
    "lent_to": "to_name",
    "since": "since",
    "due": "due",
    "job": "job",
    "sent": "sent",
    "lacked": "lacked",
}
_NOTHING: dict[str, Value] = dict.fromkeys((*_LOAN, *OF_WEAR))


def broken_histories(work: Work) -> Iterator[str]:
    """Taken back from the latest on, each entry must find the values that it left; a line for each piece where not.

    Raises
    ------
    StorageError : an entry that cannot be.
    """
    entries = entries_from(work)
    for kind in Kind:
        for id, values in current_values(work, kind).items():
            try:
                for entry in entries.get(id, ()):
                    values = taken_back(values, entry.changes)
            except ValueError as error:
                yield f"the history of {values['tag']} does not lead to its {error} as the crib has it"


def current_values(work: Work, kind: Kind, ids: Iterable[int] | None = None) -> dict[int, dict[str, Value]]:
    """What entries can be about, for every piece of a kind, retired or not, by its id; ``ids`` selects pieces."""
    query = record_query(kind).add_columns(PIECE.c.id, PIECE.c.retired, PIECE.c.missing_since)
    values = {row["id"]: {**_NOTHING, **row} for row in _rows(work, query, PIECE.c.id, ids)}
    loans = select(LOAN.c.piece_id.label("id"), *(LOAN.c[of].label(name) for name, of in _LOAN.items()))
    for row in _rows(work, loans.where(LOAN.c.returned.is_(None)), LOAN.c.piece_id, ids):
        if row["id"] in values:
            values[row["id"]] |= {name: value or None for name, value in row.items()}
    wear = select(WEAR.c.piece_id.label("id"), *(WEAR.c[name] for name in OF_WEAR))
    for row in _rows(work, wear, WEAR.c.piece_id, ids):
        if row["id"] in values:
            values[row["id"]] |= {name: value or None for name, value in row.items()}
    holds = select(HOLD.c.piece_id, HOLD.c.day, HOLD.c.for_what)
    for row in _rows(work, holds, HOLD.c.piece_id, ids):
        if row["piece_id"] in values:
            values[row["piece_id"]][f"{HELD}{row['day']}"] = row["for_what"]
    return values


def _rows(
    work: Work, query: Select[Any], key: ColumnElement[int], ids: Iterable[int] | None
) -> Iterator[dict[str, Any]]:
    """The rows of a query, or those of them whose key is one of some."""
    queries = [query] if ids is None else [query.where(key.in_(lot)) for lot in in_lots(ids)]
    for each in queries:
        yield from (dict(row) for row in work.connection.execute(each).mappings())


def entries_from(work: Work, first: int = 0) -> dict[int, list[Entry]]:
    """The entries from one on, by the id of their piece, the latest first.

    Raises
    ------
    StorageError : an entry that cannot be.
    """
    query = (
        select(ENTRY.c.piece_id, *COLUMNS_OF_ENTRY)
        .join(ACTION, ACTION.c.id == ENTRY.c.action_id)
        .where(ENTRY.c.id >= first)
        .order_by(ENTRY.c.id.desc())
    )
    found: dict[int, list[Entry]] = defaultdict(list)
    for id, *row in work.connection.execute(query).all():
        found[id].append(entry_of(*row))
    return found
