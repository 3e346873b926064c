"""What the crib held on an earlier day, read from what it holds now and the entries since then."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from datetime import date, datetime

from sqlalchemy import exists, func, select

from broachplan.crib.entries import (
    DUE,
    JOB,
    LACKED,
    LENT_TO,
    MISSING_SINCE,
    RETIRED,
    SENT,
    SINCE,
    Act,
    Entry,
    Value,
)
from broachplan.crib.homes import Placed
from broachplan.crib.loans import Loan, PieceStatus
from broachplan.crib.records import Condition
from broachplan.crib.stock import Stock, as_of
from broachplan.errors import StorageError
from broachplan.store.histories import current_values, entries_from
from broachplan.store.kept import moment_kept
from broachplan.store.tables import ACTION, ENTRY, PIECE
from broachplan.store.transaction import Work
from broachplan.tooling.figures import Kind

_SEARCHED = ("tag", "set_name", "home", "note")


def stock_at(
    work: Work, kinds: Iterable[Kind], text: str, on: date, day_of: Callable[[datetime], date]
) -> Stock:
    """What there was at the end of a day.

    Parameters
    ----------
    kinds : only pieces of these.
    text : only pieces that had this text, in any case, in tag, set, home or note on that day.
    day_of : the day of a moment, by the clock of the crib's place.

    Raises
    ------
    StorageError : a history that does not lead to what the crib holds.
    """
    entries = _entries_after(work, on)
    wanted, pieces = text.casefold(), []
    for kind in kinds:
        found = []
        for id, values in current_values(work, kind).items():
            was = _as_of(values, entries.get(id, []), lambda at: day_of(at) > on)
            if was is not None and any(wanted in str(was[name]).casefold() for name in _SEARCHED):
                found.append(_placed(kind, was))
        pieces += sorted(found, key=lambda piece: piece.tag)
    first = work.connection.scalar(select(func.min(ACTION.c.at)))
    begins = day_of(moment_kept(first)) if first else None
    return Stock(on, tuple(pieces), begins, _older(work))


def _entries_after(work: Work, on: date) -> dict[int, list[Entry]]:
    """All entries from the first on that may lie after a day, wherever on earth the day ends."""
    query = select(func.min(ENTRY.c.id)).join(ACTION, ACTION.c.id == ENTRY.c.action_id)
    first = work.connection.scalar(query.where(ACTION.c.at >= f"{on.isoformat()}T00:00:00Z"))
    return entries_from(work, first) if first is not None else {}


def _older(work: Work) -> int:
    received = exists().where(ENTRY.c.piece_id == PIECE.c.id, ENTRY.c.act == Act.RECEIVED.value)
    return work.connection.scalar(select(func.count()).select_from(PIECE).where(~received)) or 0


def _as_of(
    values: Mapping[str, Value], entries: list[Entry], later: Callable[[datetime], bool]
) -> dict[str, Value] | None:
    try:
        return as_of(values, entries, later)
    except ValueError as error:
        raise StorageError(
            f"the history of {values['tag']} does not lead to its {error} as the crib has it; `broachplan data check` shows more"
        ) from error


def _placed(kind: Kind, was: Mapping[str, Value]) -> Placed:
    tag, missing = str(was["tag"]), was[MISSING_SINCE]
    try:
        status = PieceStatus(
            tag,
            kind,
            Condition(str(was["condition"])),
            bool(was[RETIRED]),
            _loan(was),
            missing_since=date.fromisoformat(str(missing)) if missing else None,
        )
    except ValueError as error:
        raise StorageError(f"the crib holds a loan or a day that cannot be, of {tag}: {error}") from error
    return Placed(status, str(was["home"]), str(was["set_name"]))


def _loan(was: Mapping[str, Value]) -> Loan | None:
    if was[LENT_TO] is None:
        return None
    due = was[DUE]
    since = date.fromisoformat(str(was[SINCE]))
    until = date.fromisoformat(str(due)) if due else None
    return Loan(str(was[LENT_TO]), since, until, str(was[JOB] or ""), bool(was[SENT]), str(was[LACKED] or ""))
