"""Actions and entries: the history, written in the transaction that makes the change, and read back in words."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from sqlalchemy import insert, select

from broachplan.crib.entries import MISSING_SINCE, Act, Change, Entry, Stamp, Value, moment, read, written
from broachplan.errors import StorageError
from broachplan.store.tables import ACTION, ENTRY
from broachplan.store.transaction import Work
from broachplan.tooling.figures import Figure, Kind, Quantity
from broachplan.tooling.measures import Value as Figured
from broachplan.tooling.measures import figure_of, write_figure
from broachplan.tooling.pieces import FIGURES

# What `entry_of` takes.
COLUMNS_OF_ENTRY = (ENTRY.c.act, ACTION.c.at, ACTION.c.by_name, ENTRY.c.note, ENTRY.c.changes, ACTION.c.id)


@dataclass(frozen=True, slots=True)
class ActLine:
    """One piece's part in an action that is about to be written."""

    piece_id: int
    act: Act
    changes: tuple[Change, ...] = ()
    note: str = ""


@dataclass(frozen=True, slots=True)
class Difference:
    """A figure or a word of a piece that changed; None and "" where it was or is not known."""

    label: str
    old: Figured | str | None
    new: Figured | str | None

    @property
    def words(self) -> str:
        """What it was and what it is, exactly, so that a change is seen however small it is."""
        if self.label == _MISSING:
            return f"{_MISSING} {self.new}" if self.new else f"missing no longer (it was since {self.old})"
        return f"{self.label} {_exact(self.old)} -> {_exact(self.new)}"


@dataclass(frozen=True, slots=True)
class HistoryLine:
    """An entry with its differences as figures and words."""

    entry: Entry
    differences: tuple[Difference, ...]


def record(work: Work, stamp: Stamp, lines: Sequence[ActLine], undoes: int | None = None) -> int | None:
    """Write one action and its entries, in the caller's transaction; its number, None where there are no lines."""
    return record_anyway(work, stamp, lines, undoes) if lines else None


def record_anyway(work: Work, stamp: Stamp, lines: Sequence[ActLine] = (), undoes: int | None = None) -> int:
    """The same where an action may have no entries, because something else says what it did; its number."""
    values = {"at": stamp.written, "by_name": stamp.by, "station": stamp.station, "undoes": undoes}
    action = insert(ACTION).values(values)
    (action_id,) = work.connection.execute(action).inserted_primary_key or (0,)
    rows = [
        {
            "action_id": action_id,
            "piece_id": line.piece_id,
            "act": line.act.value,
            "note": line.note,
            "changes": written(line.changes),
        }
        for line in lines
    ]
    if rows:
        work.connection.execute(insert(ENTRY), rows)
    return int(action_id)


def history(work: Work, piece_id: int) -> tuple[Entry, ...]:
    """A piece's entries, the latest first.

    Raises
    ------
    StorageError : an entry that cannot be.
    """
    return tuple(entry for _, entry in entries_of(work, [piece_id]))


def entries_of(work: Work, piece_ids: Iterable[int]) -> Iterable[tuple[int, Entry]]:
    """The entries of some pieces with the pieces' ids, the latest first; see `history`."""
    query = (
        select(ENTRY.c.piece_id, *COLUMNS_OF_ENTRY)
        .join(ACTION, ACTION.c.id == ENTRY.c.action_id)
        .where(ENTRY.c.piece_id.in_(list(piece_ids)))
        .order_by(ENTRY.c.id.desc())
    )
    for piece_id, *row in work.connection.execute(query).all():
        yield piece_id, entry_of(*row)


def entry_of(act: str, at: str, by: str, note: str, changes: str, number: int) -> Entry:
    """The entry of one row.

    Raises
    ------
    StorageError : the row is no entry that may be.
    """
    try:
        return Entry(Act(act), moment(at), by, note, read(changes), number)
    except ValueError as error:
        raise StorageError(f"the crib holds an entry that cannot be, {act} at {at}: {error}") from error


def history_lines(kind: Kind, entries: Iterable[Entry]) -> tuple[HistoryLine, ...]:
    """Entries of a piece of that kind with their differences in figures and words."""
    return tuple(HistoryLine(entry, in_words_of(kind, entry.changes)) for entry in entries)


def in_words_of(kind: Kind, changes: Iterable[Change]) -> tuple[Difference, ...]:
    """Changes of a piece of that kind, with the label of each figure and the figures themselves."""
    figures = {figure.name: figure for figure in FIGURES[kind]}
    differences = []
    for change in changes:
        figure = figures.get(change.name) or _LENGTHS.get(change.name)
        if figure is None:
            label = _LABELS.get(change.name, change.name.replace("_", " "))
            nothing = 0 if change.name.endswith("cuts") else None
            both = (nothing if value is None else value for value in (change.old, change.new))
            differences.append(Difference(label, *both))
        else:
            old, new = (figure_of(figure, _number(value)) for value in (change.old, change.new))
            differences.append(Difference(figure.label, old, new))
    return tuple(differences)


def _exact(value: Figured | str | None) -> str:
    return f"“{value}”" if isinstance(value, str) else write_figure(value) or "not known"


def _number(value: Value) -> int | None:
    return value if isinstance(value, int) else None


_MISSING = "missing since"
_LABELS = {
    MISSING_SINCE: _MISSING,
    "set_name": "set",
    "ground_cuts": "cuts at the regrind",
    "inspected_cuts": "cuts at the inspection",
    "ground_on": "reground on",
}
_LENGTHS = {
    name: Figure(name, Quantity.LENGTH, label)
    for name, label in {
        "measured_to": "measured to",
        "cut_length": "length cut",
        "ground_length": "length cut at the regrind",
        "inspected_length": "length cut at the inspection",
    }.items()
}
