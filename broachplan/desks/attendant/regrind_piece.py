"""Record a regrind: the heights measured after it, and geometry's word on whether they can be."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from fractions import Fraction

from broachplan.crib.entries import Act, changes_between
from broachplan.crib.jumps import check_jumps
from broachplan.crib.loans import why_not_inspect
from broachplan.crib.wear import came_down_words, lowered_by, read_angle
from broachplan.crib.words import checked_words
from broachplan.desks.attendant.clock import stamped
from broachplan.errors import CribStateError, InputError
from broachplan.lengths import Length, Units, parse_length, show
from broachplan.questions.piece import FIGURES_REGROUND, HEIGHTS, WORDS_REGROUND, RegrindRequest
from broachplan.store.entries import ActLine, Difference, in_words_of, record
from broachplan.store.pieces import change, values_of
from broachplan.store.run_guard import check_not_in_run
from broachplan.store.settings_store import load_settings
from broachplan.store.stored_pieces import StoredPiece, stored_piece
from broachplan.store.transaction import Work
from broachplan.store.typed import check_piece, typed_values
from broachplan.store.wear import change_wear, wear_of
from broachplan.store.work import writing
from broachplan.tooling.figures import Kind


@dataclass(frozen=True, slots=True)
class Lowered:
    """How far the first and the last tooth came down as measured, and by geometry where the grind is given."""

    first: Length | None
    last: Length | None
    by_geometry: Length | None


@dataclass(frozen=True, slots=True)
class Reground:
    """What became different on a broach, and the check beside it."""

    tag: str
    differences: tuple[Difference, ...]
    lowered: Lowered
    units: Units

    @property
    def lines(self) -> tuple[str, ...]:
        """What became different, then what geometry says beside what was measured."""
        changed, lowered = "; ".join(each.words for each in self.differences), self.lowered
        measured = {"first": lowered.first, "last": lowered.last}
        return (
            f"{self.tag} reground: {changed}",
            *came_down_words(measured, lowered.by_geometry, self.units),
        )


def regrind_piece(db: str | None, request: RegrindRequest, *, at: datetime | None = None) -> Reground:
    """Record that a broach was reground.

    Parameters
    ----------
    db : the database's path or URL; None takes the user's own.
    at : when; see `stamped`.

    Raises
    ------
    InputError : an unknown tag, a piece that is no broach, a height that is missing or higher than it was, a figure
        that cannot be.
    JumpError : a figure jumps, or a height comes down by over ten times what geometry says, and nobody is sure of it.
    CribStateError : it is out, in use in a run, missing or retired.
    StorageError : the database cannot be used.
    """
    stamp, note = stamped(request.by, at), checked_words(request.note, "note")
    expected, measured = _by_geometry(*request.grind), request.measured
    for name in measured:
        if name not in (*FIGURES_REGROUND, *WORDS_REGROUND):
            raise InputError(name.replace("_", " "), "a regrind does not change it; use edit")
    for name in HEIGHTS:
        if not measured.get(name, "").strip():
            raise InputError(name.replace("_", " "), "is missing; measure both heights after a regrind")
    with writing(db) as work:
        stored = stored_piece(work, request.tag)
        tag = stored.status.tag
        _check(work, stored)
        before = values_of(work, Kind.BROACH, tag)
        given = typed_values(
            Kind.BROACH, {"condition": "fit", "measured_on": stamp.day.isoformat(), **measured}
        )
        after = {**before, **given}
        check_piece(Kind.BROACH, tag, after)
        units = load_settings(work).shown_in
        first, last = (_lowered(name, before[name], after[name], units) for name in HEIGHTS)
        if not request.sure:
            should = dict.fromkeys(HEIGHTS, expected) if expected else None
            check_jumps(Kind.BROACH, before, after, units, should)
        worn = wear_of(work, [stored.id])[stored.id]
        changes = changes_between(before, after)
        changes += change_wear(work, stored.id, worn, worn.reground(stamp.day))
        change(work, Kind.BROACH, [(stored.id, after)])
        record(work, stamp, [ActLine(stored.id, Act.REGROUND, changes, note)])
        work.commit()
    return Reground(tag, in_words_of(Kind.BROACH, changes), Lowered(first, last, expected), units)


def _check(work: Work, stored: StoredPiece) -> None:
    if stored.status.kind is not Kind.BROACH:
        raise InputError(
            "regrind", f"{stored.status.tag} is a {stored.status.kind}; only a broach is reground"
        )
    check_not_in_run(work, [stored.id])
    if why := why_not_inspect(stored.status):
        raise CribStateError(why)


def _by_geometry(ground_off: str, relief: str) -> Length | None:
    if bool(ground_off.strip()) != bool(relief.strip()):
        raise InputError(
            "regrind", "the check needs both the amount ground off and the relief angle, or neither"
        )
    if not ground_off.strip():
        return None
    off, angle = parse_length(ground_off, "ground off"), read_angle(relief, "relief")
    return lowered_by(off, Fraction(angle))


def _lowered(name: str, before: int | None, after: int, units: Units) -> Length | None:
    if before is None:
        return None
    if after > before:
        now, was = show(Length(after), units), show(Length(before), units)
        raise InputError(
            name.replace("_", " "),
            f"it was {was}, and a regrind makes no tooth higher: measure again, or correct it with edit first",
            shown=now,
        )
    return Length(before - after)
