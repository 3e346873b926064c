"""One piece of the crib with all that is known of it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from broachplan.errors import InputError, quoted
from broachplan.lengths import Units
from broachplan.store.settings_store import load_settings
from broachplan.store.states import Kept, kept_with_tag, tags_like
from broachplan.store.work import reading


@dataclass(frozen=True, slots=True)
class Shown(Kept):
    """A piece as the crib keeps it, and how the shop shows lengths."""

    units: Units


def show_piece(db: str | None, tag: str, on: date | None = None) -> Shown:
    """The piece that bears a tag, retired or not; ``on`` is the day whose holds count.

    Raises
    ------
    InputError : no piece bears the tag; those most like it are told.
    StorageError : the database cannot be used.
    """
    with reading(db) as work:
        kept = kept_with_tag(work, tag.strip(), on)
        if kept is None:
            like = ", ".join(tags_like(work, tag.strip()))
            near = f"the nearest: {like}" if like else "`broachplan crib list` shows those there are"
            raise InputError(f"tag: read {quoted(tag)}, which no piece in the crib has; {near}")
        return Shown(kept.record, kept.retired, kept.off, load_settings(work).units)
