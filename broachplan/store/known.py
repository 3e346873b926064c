"""The words that a crib knows: tags with the status of their pieces, sets, homes, people."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from sqlalchemy import ColumnElement, select

from broachplan.crib.loans import PieceStatus
from broachplan.store.stored_pieces import in_use
from broachplan.store.tables import ACTION, LOAN
from broachplan.store.transaction import Work


@dataclass(frozen=True, slots=True)
class Known:
    """What may be typed because it is known already.

    ``pieces`` has the status of every piece that is not retired, by tag; ``people`` are those who had or have something,
    ``attendants`` those who did something. All of it is as of the day ``on``.
    """

    on: date
    pieces: Mapping[str, PieceStatus]
    sets: tuple[str, ...] = ()
    homes: tuple[str, ...] = ()
    people: tuple[str, ...] = ()
    attendants: tuple[str, ...] = ()


def known(work: Work, on: date) -> Known:
    """The words known now; ``on`` is the day whose holds count."""
    found = in_use(work, on)
    return Known(
        on,
        {stored.status.tag: stored.status for stored in found},
        _sorted(stored.set_name for stored in found),
        _sorted(stored.home for stored in found),
        people(work),
        _distinct(work, ACTION.c.by_name),
    )


def people(work: Work) -> tuple[str, ...]:
    """Those who had or have something."""
    return _distinct(work, LOAN.c.to_name)


def _distinct(work: Work, column: ColumnElement[str]) -> tuple[str, ...]:
    return _sorted(work.connection.scalars(select(column).distinct()))


def _sorted(words: Iterable[str]) -> tuple[str, ...]:
    return tuple(sorted({word for word in words if word}, key=lambda word: (word.casefold(), word)))
