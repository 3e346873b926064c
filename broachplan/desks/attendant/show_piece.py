"""One piece of the crib with all that is known of it."""

from __future__ import annotations

from dataclasses import dataclass, field

from broachplan.crib.holds import Hold
from broachplan.crib.loans import PieceStatus
from broachplan.crib.wear import Wear, why_due
from broachplan.desks.attendant.clock import day
from broachplan.lengths import Units
from broachplan.questions.reads import ShowRequest
from broachplan.store.entries import Difference, HistoryLine, history, history_lines
from broachplan.store.given_back import undone_with_tag
from broachplan.store.holds import holds_from
from broachplan.store.settings_store import load_settings
from broachplan.store.states import CribPiece, piece_with_tag
from broachplan.store.stored_pieces import stored_piece, stored_pieces
from broachplan.store.wear import wear_of
from broachplan.store.work import reading
from broachplan.tooling.figures import Kind

__all__ = ["Difference", "HistoryLine", "Shown", "show_piece"]


@dataclass(frozen=True, slots=True)
class Shown(CribPiece):
    """A piece as the crib keeps it, how the shop shows lengths, and its history, the latest first.

    ``version`` counts the changes of the piece: an edit of what is shown gives it back. ``due`` says what a broach
    is due for; ``holds`` are those from the day asked about on. ``undone`` names those that had its tag before, until
    their addition was undone.
    """

    units: Units
    version: int = 1
    history: tuple[HistoryLine, ...] = ()
    wear: Wear = field(default_factory=Wear)
    due: tuple[str, ...] = ()
    holds: tuple[Hold, ...] = ()
    status: PieceStatus | None = None
    undone: tuple[str, ...] = ()


def show_piece(db: str | None, request: ShowRequest) -> Shown:
    """The piece that bears a tag, retired or not; else the last that had it until its addition was undone.

    Raises
    ------
    InputError : no piece bears the tag; the message names those most like it.
    StorageError : the database cannot be used.
    """
    on = request.on
    with reading(db) as work:
        before = undone_with_tag(work, request.tag.strip())
        found = stored_pieces(work, [request.tag.strip()], on)
        stored = found[0] if found else stored_piece(work, before[0] if before else request.tag, on)
        kept = piece_with_tag(work, stored.status.tag, on)
        assert kept is not None
        entries = history_lines(stored.status.kind, history(work, stored.id))
        settings = load_settings(work)
        wear = wear_of(work, [stored.id])[stored.id]
        holds = holds_from(work, day(on), stored.id)
    is_broach = stored.status.kind is Kind.BROACH and not kept.retired
    due = why_due(wear, settings, day(on)) if is_broach else ()
    return Shown(
        kept.record,
        kept.retired,
        kept.off,
        settings.shown_in,
        stored.version,
        entries,
        wear,
        due,
        holds,
        stored.status,
        before if found else before[1:],
    )
