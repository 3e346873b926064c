"""One piece of the crib with all that is known of it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from broachplan.lengths import Units
from broachplan.store.entries import Difference, Told, history, told
from broachplan.store.settings_store import load_settings
from broachplan.store.standings import standing_of
from broachplan.store.states import Kept, kept_with_tag
from broachplan.store.work import reading

__all__ = ["Difference", "Shown", "Told", "show_piece"]


@dataclass(frozen=True, slots=True)
class Shown(Kept):
    """A piece as the crib keeps it, how the shop shows lengths, and its history, the latest first.

    ``version`` counts the changes of the piece: whoever edits what is shown hands it back.
    """

    units: Units
    version: int = 1
    history: tuple[Told, ...] = ()


def show_piece(db: str | None, tag: str, on: date | None = None) -> Shown:
    """The piece that bears a tag, retired or not; ``on`` is the day whose holds count.

    Raises
    ------
    InputError : no piece bears the tag; those most like it are told.
    StorageError : the database cannot be used.
    """
    with reading(db) as work:
        stood = standing_of(work, tag)
        kept = kept_with_tag(work, stood.standing.tag, on)
        assert kept is not None
        entries = told(stood.standing.kind, history(work, stood.id))
        units = load_settings(work).units
    return Shown(kept.record, kept.retired, kept.off, units, stood.version, entries)
