"""One file of an import beside the crib: what is new, what would be different, what is wrong, old or doubtful in it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from sqlalchemy import select

from broachplan.crib.entries import Change, changes_between
from broachplan.crib.jumps import jumps
from broachplan.crib.records import Record
from broachplan.errors import InputError, quoted
from broachplan.lengths import Units
from broachplan.store.csv_form import Filled, ImportedRow
from broachplan.store.entries import Difference, in_words_of
from broachplan.store.records_read import in_lots, record_query
from broachplan.store.tables import PIECE
from broachplan.store.transaction import Work
from broachplan.store.translate import figure_columns, figure_values, piece_values
from broachplan.store.typed import check_piece
from broachplan.tooling.figures import Kind

_DAY = "measured_on"


@dataclass(frozen=True, slots=True)
class ChangedPiece:
    """A piece that is in the crib and different by a file."""

    kind: Kind
    tag: str
    differences: tuple[Difference, ...]

    @property
    def words(self) -> str:
        """The piece, and each difference with old and new."""
        return f"{self.kind} {self.tag}: {'; '.join(each.words for each in self.differences)}"


@dataclass(frozen=True, slots=True)
class ChangedRow:
    """A row of a file that changes a piece: its ``where`` in messages, the piece's columns before and after.

    ``measured_on`` is the day that the row itself gives; None where it gives none.
    """

    where: str
    kind: Kind
    id: int
    before: Mapping[str, Any]
    after: Mapping[str, Any]
    measured_on: str | None

    @property
    def tag(self) -> str:
        """The tag of the piece."""
        return str(self.after["tag"])

    @property
    def changes(self) -> tuple[Change, ...]:
        """What becomes different."""
        return changes_between(self.before, self.after)

    @property
    def changed(self) -> ChangedPiece:
        """The same in words."""
        return ChangedPiece(self.kind, self.tag, in_words_of(self.kind, self.changes))

    @property
    def why_older(self) -> str:
        """That figures measured before the crib's own would replace them; empty where none would.

        A row that does not say when it was measured is older than a figure of which the crib knows. What the crib has not
        measured is only filled in.
        """
        known, changes = self.before[_DAY], self.changes
        figures = figure_columns(self.kind)
        touched = any(
            each.name == _DAY or (each.name in figures and each.old is not None) for each in changes
        )
        if known is None or not touched or (self.measured_on is not None and self.measured_on >= known):
            return ""
        on = f"were measured on {self.measured_on}" if self.measured_on else "have no measuring day"
        what = "; ".join(each.words for each in self.changed.differences)
        return f"{self.where}: {self.tag} was measured on {known}, and the row's figures {on}, so they count as older: {what}; --older takes them all the same"


@dataclass(frozen=True, slots=True)
class Compared:
    """What a file would do: ``new`` records, rows that change a piece, how many do not; ``problems`` by row."""

    kind: Kind
    new: tuple[Record, ...]
    different: tuple[ChangedRow, ...]
    unchanged: int
    problems: tuple[str, ...]


class Doubted:
    """Rows that are not taken unless somebody says so, each in a line: figures that are older, and figures that jump."""

    def __init__(self, compared: Iterable[Compared], units: Units, *, older: bool, sure: bool) -> None:
        rows = [row for each in compared for row in each.different]
        old = {id(row): why for row in rows if not older and (why := row.why_older)}
        jumping = {id(row): lines for row in rows if not sure and (lines := [*_jumps(row, units)])}
        self.older = tuple(old.values())
        self.jumps = tuple(line for lines in jumping.values() for line in lines)
        self._rows = old.keys() | jumping.keys()

    def __contains__(self, row: object) -> bool:
        return id(row) in self._rows


def compare(work: Work, file: Filled) -> Compared:
    """Compare one file with the crib."""
    stored, taken = _stored(work, file), dict(_taken(work, file))
    new, different, unchanged, problems = [], [], 0, [*taken.values()]
    for entry in file.entries:
        tag = entry.record.piece.tag
        before = stored.get(tag)
        if before is None or tag in taken:
            new += [] if tag in taken else [entry.record]
            continue
        row = _row(file, entry, *before)
        if wrong := [*_cannot_be(file, row)]:
            problems += wrong
        elif row.changes:
            different.append(row)
        else:
            unchanged += 1
    return Compared(file.kind, tuple(new), tuple(different), unchanged, tuple(problems))


def _jumps(row: ChangedRow, units: Units) -> Iterator[str]:
    for each in jumps(row.kind, row.before, row.after):
        yield f"{row.where}, {row.tag}: {each.why(units)}"


def _taken(work: Work, file: Filled) -> Iterator[tuple[str, str]]:
    """Tags that the crib has for another kind of piece, or for one that was retired, each with why that will not do."""
    rows = {tag: number for number, tag in file.tags}
    for tags in in_lots(rows):
        query = select(PIECE.c.tag, PIECE.c.kind, PIECE.c.retired).where(PIECE.c.tag.in_(tags))
        for tag, kind, retired in work.connection.execute(query.order_by(PIECE.c.tag)):
            where = f"{file.name}, row {rows[tag]}, column tag: read {quoted(tag)}, which in the crib"
            if kind != file.kind:
                yield tag, f"{where} is a {kind}'s; a tag is one piece's"
            elif retired:
                yield tag, f"{where} was retired; give the piece another tag"


def _stored(work: Work, file: Filled) -> dict[str, tuple[int, Mapping[str, Any]]]:
    """The pieces of a file that the crib has already, by tag: their ids and columns."""
    query = record_query(file.kind).add_columns(PIECE.c.id)
    found: dict[str, tuple[int, Mapping[str, Any]]] = {}
    for tags in in_lots(entry.record.piece.tag for entry in file.entries):
        for row in work.connection.execute(query.where(PIECE.c.tag.in_(tags))).mappings():
            values = dict(row)
            found[row["tag"]] = (values.pop("id"), values)
    return found


def _row(file: Filled, entry: ImportedRow, id: int, before: Mapping[str, Any]) -> ChangedRow:
    """The piece of a row before and after; columns that the file lacks stay."""
    values, figures = piece_values(entry.record), figure_values(entry.record.piece)
    given = {name: values[name] for name in file.given}
    after = {**before, **given, **{name: figures[name] for name in file.figures}}
    return ChangedRow(
        f"{file.name}, row {entry.number}", file.kind, id, before, after, given.get(_DAY) or None
    )


def _cannot_be(file: Filled, row: ChangedRow) -> Iterator[str]:
    """Figures that do not go with those that the crib has and the file has no column for."""
    if not set(file.figures) < set(figure_columns(file.kind)):
        return
    try:
        check_piece(file.kind, row.tag, row.after)
    except InputError as error:
        yield f"{row.where}: with the crib's other figures of {row.tag}: {error}"
