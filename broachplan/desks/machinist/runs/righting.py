"""Put right what was booked, and change a figure that was measured again in mid run."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, datetime

from broachplan.crib.entries import Stamp
from broachplan.crib.jumps import check_jumps
from broachplan.crib.records import Measurement
from broachplan.crib.words import checked_words
from broachplan.desks.attendant.clock import stamped
from broachplan.desks.machinist.runs.cutting import WaySizes, typed_readings, way_of
from broachplan.desks.machinist.runs.keeping import Kept, act_on, note_of
from broachplan.errors import InputError
from broachplan.lengths import Length
from broachplan.questions.read_run import read_number, read_tags
from broachplan.questions.runs import RunCorrectRequest, RunMeasuredRequest
from broachplan.runs.acts.acting import Acted
from broachplan.runs.acts.correcting import corrected_reading, corrected_shims, measured
from broachplan.runs.acts.pushing import not_pushed
from broachplan.runs.acts.reading import Gauge
from broachplan.runs.ahead import OnHand
from broachplan.runs.run import RunPiece
from broachplan.runs.state import RunState
from broachplan.runs.steps import RunAct, Step
from broachplan.store.entries import ActLine
from broachplan.store.run_loans import measured_again
from broachplan.store.runs import StoredRun
from broachplan.store.transaction import Work
from broachplan.store.translate import Translator, figure_columns, figure_values
from broachplan.store.typed import check_piece, typed_values


def correct(db: str | None, request: RunCorrectRequest, *, at: datetime | None = None) -> Kept:
    """Put a step right by a further step: what was really in, what was really read, or that it never was.

    Parameters
    ----------
    db : the database's path or URL; None takes the user's own.
    at : when; see `stamped`.

    Raises
    ------
    InputError : no such run or step, no reason, or not one thing that is put right.
    CribStateError : it cannot be corrected any more, or another step was confirmed since.
    StorageError : the database cannot be used.
    """
    number, why = read_number(request.at, "at"), checked_words(request.why, "why")
    given = [
        request.shims.strip() != "",
        request.measured.strip() != "",
        request.not_measured,
        request.not_pushed,
    ]
    if given.count(True) != 1:
        raise InputError("correct", "say one thing: the shims, the reading, not measured, or not pushed")
    shims = read_tags(request.shims) if request.shims.strip() else None
    typed = typed_readings(request.measured, "", "") if request.measured.strip() else ()

    def act(state: RunState, hand: OnHand, by: str) -> Acted:
        if request.not_pushed:
            return not_pushed(state, takes_back=number, by=by, why=why)
        if shims is not None:
            return corrected_shims(state, hand, number, shims, why=why, by=by)
        way = way_of(state, None, WaySizes())
        t = way.t_of(typed[0].length) if typed else None
        gauge = Gauge(typed=tuple(each.text for each in typed))
        return corrected_reading(state, hand, number, t, why=why, by=by, gauge=gauge)

    return act_on(db, request, act, at)


def measure_piece(db: str | None, request: RunMeasuredRequest, *, at: datetime | None = None) -> Kept:
    """Change figures of a piece that the run has, measured again: the offset is set again; see `correct`.

    Raises
    ------
    InputError : the run does not have the piece, a figure that cannot be, or one that jumps and nobody is sure of.
    """
    stamp, typed = stamped(request.by, at), _figures(request.figures)
    words = _words_of(request, typed, stamp)

    def act(state: RunState, hand: OnHand, by: str) -> Acted:
        piece = _measured(state, hand, request.piece.strip(), typed, words)
        if not request.sure:
            old, new = (figure_values(each) for each in (state.pieces[piece.tag].piece, piece.piece))
            check_jumps(piece.piece.kind, old, new, state.run.settings.shown_in)
        return measured(state, hand, piece, by=by)

    def effects(work: Work, stored: StoredRun, _: RunState, step: Step) -> Sequence[ActLine]:
        if step.act is not RunAct.MEASURED:
            return ()
        return [measured_again(work, step.piece, {**typed, **words}, note_of(stored, step))]

    return act_on(db, request, act, at, effects)


def _figures(texts: Sequence[str]) -> dict[str, str]:
    """Figures by their names, as they were typed: name=value."""
    found = {}
    for text in texts:
        name, equals, value = text.partition("=")
        if not equals or not name.strip() or not value.strip():
            raise InputError("figure", "write name=value, for example web=0.5515 in", read=text)
        found[name.strip().lower().replace(" ", "_").replace("-", "_")] = value.strip()
    if not found:
        raise InputError("figure", "write at least one as name=value, for example web=0.5515 in")
    return found


def _words_of(request: RunMeasuredRequest, typed: Mapping[str, str], stamp: Stamp) -> dict[str, str]:
    """With what, when, by whom and how well it was measured, by the names of a piece's lines.

    Where no gauge is named it was the one of before; how well it was measured then says nothing of now.
    """
    with_what = checked_words(request.with_what, "with")
    words = {
        "measured_on": stamp.day.isoformat(),
        "measured_by": stamp.by,
        "measured_to": typed.get("measured_to", ""),
    }
    return {**words, "measured_with": with_what} if with_what else words


def _measured(
    state: RunState, hand: OnHand, tag: str, typed: Mapping[str, str], words: Mapping[str, str]
) -> RunPiece:
    """The piece with its figures as they were measured again."""
    piece, kept = hand.known(tag), state.pieces.get(tag)
    if piece is None or kept is None:
        raise InputError("piece", "name a piece that the run has", read=tag)
    kind, before = piece.kind, hand.taken(piece)
    values = {**figure_values(piece), **typed_values(kind, {**typed, **words})}
    if others := values.keys() - set(figure_columns(kind)) - words.keys():
        raise InputError(
            min(others), "only figures and how well they were measured; use `broachplan crib edit`"
        )
    check_piece(kind, tag, values)
    numbers = [value if isinstance(value := values[name], int) else None for name in figure_columns(kind)]
    to = values["measured_to"]
    how = Measurement(
        str(values.get("measured_with", before.measured.with_what)),
        date.fromisoformat(words["measured_on"]),
        words["measured_by"],
        Length(to) if isinstance(to, int) else None,
    )
    new = Translator(kind).piece(tag, numbers)
    return RunPiece(piece=new, measured=how, version=before.version + 1, lent_by_run=kept.lent_by_run)
