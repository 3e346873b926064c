"""Do the histories lead to what the crib holds?"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from typing import Any

from sqlalchemy import select

from broachplan.crib.entries import Entry, Value, taken_back
from broachplan.store.entries import entry_of
from broachplan.store.records_read import record_query
from broachplan.store.tables import ACTION, ENTRY, LOAN, PIECE
from broachplan.store.work import Work
from broachplan.tooling.figures import Kind

_LOAN = {"lent_to": "to_name", "since": "since", "due": "due", "job": "job"}


def broken_histories(work: Work) -> Iterator[str]:
    """Taken back from the latest on, each entry must find the values that it left; a line for each piece where not.

    Raises
    ------
    StorageError : an entry that cannot be.
    """
    entries = _entries(work)
    for kind in Kind:
        for id, values in current_values(work, kind).items():
            try:
                for entry in entries.get(id, ()):
                    values = taken_back(values, entry.changes)
            except ValueError as error:
                yield f"the history of {values['tag']} does not lead to its {error} as the crib has it"


def current_values(work: Work, kind: Kind) -> dict[int, dict[str, Value]]:
    """What an entry can tell of, for every piece of a kind, retired or not, by its id."""
    is_open = LOAN.c.returned.is_(None)
    query = select(LOAN.c.piece_id, *(LOAN.c[name] for name in _LOAN.values())).where(is_open)
    loans = {id: _loan(loan) for id, *loan in work.connection.execute(query)}
    none = _loan([None] * len(_LOAN))
    rows = work.connection.execute(record_query(kind).add_columns(PIECE.c.id, PIECE.c.retired)).mappings()
    return {row["id"]: {**row, **loans.get(row["id"], none)} for row in rows}


def _loan(row: list[Any]) -> dict[str, Value]:
    values = dict(zip(_LOAN, row, strict=True))
    return {**values, "job": values["job"] or None}


def _entries(work: Work) -> dict[int, list[Entry]]:
    query = (
        select(ENTRY.c.piece_id, ENTRY.c.act, ACTION.c.at, ACTION.c.by_name, ENTRY.c.note, ENTRY.c.changes)
        .join(ACTION, ACTION.c.id == ENTRY.c.action_id)
        .order_by(ENTRY.c.id.desc())
    )
    found: dict[int, list[Entry]] = defaultdict(list)
    for id, *row in work.connection.execute(query).all():
        found[id].append(entry_of(*row))
    return found
