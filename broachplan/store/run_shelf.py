"""What the crib has for a run at one moment: the shelf as the worker finds it, and the versions of its pieces."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import date

from sqlalchemy import select

from broachplan.crib.ahead import PieceState, ahead
from broachplan.crib.loans import Asker, why_off
from broachplan.crib.records import Measurement
from broachplan.crib.shelf import Shelf
from broachplan.errors import CribStateError
from broachplan.keyways.keyway import Keyway
from broachplan.lengths import Length
from broachplan.planner.answer import Plan
from broachplan.planner.bounds import bounds_of
from broachplan.runs.ahead import OnHand
from broachplan.settings import Settings
from broachplan.store.kept import day_kept
from broachplan.store.records_read import in_lots
from broachplan.store.run_guard import tags_in_runs
from broachplan.store.shelf_read import read_shelf
from broachplan.store.states import piece_with_tag
from broachplan.store.stored_pieces import stored_pieces
from broachplan.store.tables import PIECE
from broachplan.store.transaction import Work
from broachplan.store.wear import due_broaches
from broachplan.tooling.hub import Hub
from broachplan.tooling.pieces import Broach, Bushing, Piece, Press, Shim


def on_hand(
    work: Work,
    hub: Hub,
    keyway: Keyway,
    settings: Settings,
    on: date,
    asker: Asker,
    own: Iterable[str] = (),
    run: int = 0,
) -> OnHand:
    """What the asker may use on a day.

    Parameters
    ----------
    own : tags of pieces that are on the shelf whatever their size, in whatever state they are.
    run : the number of the run that asks; what is in use in another one is off the shelf.
    """
    shelf = read_shelf(work, bounds_of(keyway, hub.bore.lower, settings), on=on, today=on, asker=asker)
    shelf = _with(work, shelf, own, asker, on)
    there = {piece.tag for piece in (*shelf.broaches, *shelf.bushings, *shelf.shims, *shelf.presses)}
    in_use = tags_in_runs(work, but=run)
    off = {tag: f"in use in run {code}" for tag, code in in_use.items() if tag in there}
    due = due_broaches(work, (broach.tag for broach in shelf.broaches), settings, on)
    measured, versions = _measured(work, there)
    return OnHand(replace(shelf, off={**off, **shelf.off}, due=due), measured, versions)


def without_loans_and_holds(work: Work, shelf: Shelf) -> Shelf:
    """The shelf if nothing were lent, held or in use in a run."""
    for_good = {
        stored.status.tag: "; ".join(why)
        for stored in stored_pieces(work, shelf.off)
        if (why := why_off(stored.status.condition, stored.status.missing_since, "", None, None))
    }
    return replace(shelf, off=for_good)


def in_the_way(would: Plan, shelf: Shelf) -> str:
    """Which pieces of a plan are not there, and why."""
    press = (would.press.tag,) if would.press else ()
    reasons = [f"{tag} ({shelf.off[tag]})" for tag in (*would.taken, *press) if tag in shelf.off]
    return f"there is a plan, {would.broach.tag} in {would.bushing.tag}, and not all of its pieces are there: {', '.join(reasons)}"


def check_unchanged(work: Work, pieces: Iterable[Piece]) -> None:
    """Raise `CribStateError` where a piece does not have the figures that the plan was made with."""
    for piece in pieces:
        kept = piece_with_tag(work, piece.tag)
        if kept is None or kept.record.piece != piece:
            raise CribStateError(f"{piece.tag} was changed meanwhile; look at it and do this again")


def _with(work: Work, shelf: Shelf, tags: Iterable[str], asker: Asker, on: date) -> Shelf:
    """The shelf with some pieces that its bounds, or their retirement, kept from being read."""
    there = {piece.tag for piece in (*shelf.broaches, *shelf.bushings, *shelf.shims, *shelf.presses)}
    off = dict(shelf.off)
    for tag in sorted(set(tags) - there):
        kept = piece_with_tag(work, tag)
        if kept is None:
            continue
        piece = kept.record.piece
        (stored,) = stored_pieces(work, [tag], on)
        state = PieceState.of(stored.status, {on: stored.status.held_for})
        why = ahead(state, (on,), tag=tag, today=on, asker=asker).off
        if kept.retired or why:
            off[tag] = "retired" if kept.retired else why
        if isinstance(piece, Broach):
            shelf = replace(shelf, broaches=(*shelf.broaches, piece))
        elif isinstance(piece, Bushing):
            shelf = replace(shelf, bushings=(*shelf.bushings, piece))
        elif isinstance(piece, Shim):
            shelf = replace(shelf, shims=(*shelf.shims, piece))
        elif isinstance(piece, Press):
            shelf = replace(shelf, presses=(*shelf.presses, piece))
    return replace(shelf, off=off)


def _measured(work: Work, tags: Iterable[str]) -> tuple[dict[str, Measurement], dict[str, int]]:
    columns = ("tag", "version", "measured_with", "measured_on", "measured_by", "measured_to")
    measured, versions = {}, {}
    for lot in in_lots(tags):
        query = select(*(PIECE.c[name] for name in columns)).where(PIECE.c.tag.in_(lot))
        for tag, version, with_what, on, by, to in work.connection.execute(query):
            day = day_kept(on) if on else None
            measured[tag] = Measurement(with_what, day, by, Length(to) if to else None)
            versions[tag] = version
    return measured, versions
