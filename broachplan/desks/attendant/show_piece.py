"""One piece of the crib with all that is known of it."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date

from broachplan.crib.holds import Hold
from broachplan.crib.loans import Standing
from broachplan.crib.wear import Wear, why_due
from broachplan.desks.attendant.clock import day
from broachplan.lengths import Units
from broachplan.store.entries import Difference, Told, history, told
from broachplan.store.holds import holds_from
from broachplan.store.settings_store import load_settings
from broachplan.store.standings import standing_of
from broachplan.store.states import Kept, kept_with_tag
from broachplan.store.wear import wear_of
from broachplan.store.work import reading
from broachplan.tooling.figures import Kind

__all__ = ["Difference", "Shown", "Told", "show_piece"]


@dataclass(frozen=True, slots=True)
class Shown(Kept):
    """A piece as the crib keeps it, how the shop shows lengths, and its history, the latest first.

    ``version`` counts the changes of the piece: whoever edits what is shown hands it back. ``due`` tells what a broach
    is due for; ``holds`` are those from the day asked about on; ``standing`` is where it stands.
    """

    units: Units
    version: int = 1
    history: tuple[Told, ...] = ()
    wear: Wear = field(default_factory=Wear)
    due: tuple[str, ...] = ()
    holds: tuple[Hold, ...] = ()
    standing: Standing | None = None


def show_piece(db: str | None, tag: str, on: date | None = None) -> Shown:
    """The piece that bears a tag, retired or not; ``on`` is the day whose holds count.

    Raises
    ------
    InputError : no piece bears the tag; the message names those most like it.
    StorageError : the database cannot be used.
    """
    with reading(db) as work:
        stood = standing_of(work, tag, on)
        kept = kept_with_tag(work, stood.standing.tag, on)
        assert kept is not None
        entries = told(stood.standing.kind, history(work, stood.id))
        settings = load_settings(work)
        wear = wear_of(work, [stood.id])[stood.id]
        holds = holds_from(work, day(on), stood.id)
    is_broach = stood.standing.kind is Kind.BROACH and not kept.retired
    due = why_due(wear, settings, day(on)) if is_broach else ()
    return Shown(
        kept.record,
        kept.retired,
        kept.off,
        settings.units,
        stood.version,
        entries,
        wear,
        due,
        holds,
        stood.standing,
    )
