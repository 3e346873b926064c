"""Between rows and pieces: the one place that knows both, driven by the table of figures."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from typing import Any

from broachplan.crib.records import Condition, Measurement, Record
from broachplan.errors import InputError, StorageError
from broachplan.lengths import Length
from broachplan.tooling.figures import Kind, Quantity
from broachplan.tooling.measures import MAKERS, number_of
from broachplan.tooling.pieces import FIGURES, PIECES, Piece

# The columns of a piece's row that a record fills, in the order `record_of` takes them.
RECORD_COLUMNS = (
    "tag",
    "set_name",
    "home",
    "condition",
    "note",
    "measured_with",
    "measured_on",
    "measured_by",
    "made_here",
    "measured_to",
)


MEASURED_COLUMNS = ("measured_with", "measured_on", "measured_by", "measured_to")


class _Lengths(dict[int, Length]):
    """Lengths by their nanometres: a crib holds few different ones, and making one costs ten look-ups."""

    def __missing__(self, nm: int) -> Length:
        length = self[nm] = Length(nm)
        return length


class Measurings(dict[tuple[Any, ...], Measurement]):
    """How pieces were measured, by their columns of it: a crib holds few different ones; use one for a whole reading.

    Raises
    ------
    StorageError : the day is none.
    """

    def __missing__(self, row: tuple[Any, ...]) -> Measurement:
        with_what, on, by, to = row
        try:
            day = date.fromisoformat(on) if on else None
        except ValueError as error:
            raise StorageError(f"the crib holds a day of measuring that cannot be: {error}") from error
        measured = self[row] = Measurement(with_what, day, by, None if to is None else Length(to))
        return measured


class Translator:
    """Makes the pieces of one kind from rows of (tag, figures...); use one for a whole reading."""

    def __init__(self, kind: Kind) -> None:
        self.kind = kind
        self._piece = PIECES[kind]
        self._measurings = Measurings()
        lengths = _Lengths()
        makers = {**MAKERS, Quantity.LENGTH: lengths.__getitem__}
        self._figures = tuple((figure.name, makers[figure.quantity]) for figure in FIGURES[kind])

    def piece(self, tag: str, figures: Sequence[int | None]) -> Piece:
        """The piece of one row.

        Raises
        ------
        StorageError : the row is not a piece that may exist.
        """
        values: dict[str, Any] = {}
        for (name, make), number in zip(self._figures, figures, strict=True):
            if number is not None:
                values[name] = make(number)
        try:
            return self._piece(tag=tag, **values)
        except InputError as error:
            raise StorageError(f"the crib holds a {self.kind} that cannot be, {tag}: {error}") from error

    def record(self, row: Sequence[Any]) -> Record:
        """The record of one row of `RECORD_COLUMNS` and then the figures."""
        tag, set_name, home, condition, note, with_what, on, by, made_here, to, *figures = row
        piece = self.piece(tag, figures)
        try:
            measured = self._measurings[with_what, on, by, to]
            return Record(
                piece=piece,
                set_name=set_name,
                home=home,
                condition=Condition(condition),
                note=note,
                measured=measured,
                made_here=bool(made_here),
            )
        except (ValueError, StorageError) as error:
            raise StorageError(f"the crib holds a {self.kind} that cannot be, {tag}: {error}") from error


def figure_columns(kind: Kind) -> tuple[str, ...]:
    """The figures' columns of a kind, in the order of its table of figures."""
    return tuple(figure.name for figure in FIGURES[kind])


def piece_values(record: Record) -> dict[str, Any]:
    """The columns of a piece's row."""
    measured = record.measured
    return {
        "tag": record.piece.tag,
        "kind": record.piece.kind.value,
        "set_name": record.set_name,
        "home": record.home,
        "condition": record.condition.value,
        "note": record.note,
        "measured_with": measured.with_what,
        "measured_on": measured.on.isoformat() if measured.on else None,
        "measured_by": measured.by,
        "made_here": int(record.made_here),
        "measured_to": number_of(measured.to),
    }


def figure_values(piece: Piece) -> dict[str, int | None]:
    """The columns of a figures row."""
    return {figure.name: number_of(getattr(piece, figure.name)) for figure in piece.figures()}


def by_tag(records: Iterable[Record]) -> Mapping[str, Record]:
    """Records by the tags of their pieces."""
    return {record.piece.tag: record for record in records}
