"""The crib on an earlier day: its present state with the acts since then taken back."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from itertools import takewhile

from broachplan.crib.entries import Act, Entry, Value, taken_back
from broachplan.crib.homes import Placed


@dataclass(frozen=True, slots=True)
class Stock:
    """The pieces at the end of a day, by kind and tag, retired ones too.

    ``begins`` is the day of the first act in the history; None where it has none. ``older`` counts the
    pieces that were in the crib before that: they count as there from the beginning.
    """

    on: date
    pieces: tuple[Placed, ...]
    begins: date | None = None
    older: int = 0

    @property
    def there(self) -> tuple[Placed, ...]:
        """Those that were not retired."""
        return tuple(piece for piece in self.pieces if not piece.status.retired)

    @property
    def retired(self) -> tuple[Placed, ...]:
        """Those that were."""
        return tuple(piece for piece in self.pieces if piece.status.retired)


def as_of(
    values: Mapping[str, Value], entries: Sequence[Entry], later: Callable[[datetime], bool]
) -> dict[str, Value] | None:
    """The values of a piece on an earlier day, from its present ones; None where it was not in the crib yet.

    Acts keep their order: what came before one that is not ``later`` is not taken back either,
    should a clock have been wrong.

    Parameters
    ----------
    values : what the piece is like now.
    entries : its history, the latest first.
    later : whether a moment lies after the one asked about.

    Raises
    ------
    ValueError : the history does not lead to the values; its text says which.
    """
    was = dict(values)
    for entry in takewhile(lambda entry: later(entry.at), entries):
        if entry.act is Act.RECEIVED:
            return None
        was = taken_back(was, entry.changes)
    return was
