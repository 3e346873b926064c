"""Pieces that an open run uses: nobody else changes, returns or retires them behind it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from sqlalchemy import and_, or_, select

from broachplan.crib.entries import Change
from broachplan.errors import CribStateError
from broachplan.runs.steps import RunAct
from broachplan.store.records_read import in_lots
from broachplan.store.tables import LOAN, PIECE, RUN, RUN_PIECE, RUN_STEP
from broachplan.store.transaction import Work
from broachplan.tooling.figures import Kind
from broachplan.tooling.pieces import FIGURES

OPEN = ("running", "stopped")
_IN_USE = or_(
    RUN_PIECE.c.with_run == 1,
    # A press serves several runs at once, so it belongs to none of them.
    and_(PIECE.c.kind == Kind.PRESS.value, RUN.c.state.in_(OPEN), RUN.c.parked == 0),
)
_TABLES = RUN_PIECE.join(RUN, RUN.c.id == RUN_PIECE.c.run_id).join(PIECE, PIECE.c.id == RUN_PIECE.c.piece_id)


def check_not_in_run(work: Work, piece_ids: Iterable[int]) -> None:
    """Raise `CribStateError`, naming piece and run, where an open run that is not parked uses one of some pieces."""
    for tag, number, code, person in _in_use(work, piece_ids):
        raise CribStateError(
            f"{tag} is in use in run {code} ({person}); end or park that run first, or change a figure with `broachplan run measured {number}`"
        )


def check_not_cutting(work: Work, piece_id: int) -> None:
    """Raise `CribStateError` where an open run that is not parked cuts with a broach: booked by hand too, cuts count twice."""
    for tag, number, code, person in _in_use(work, [piece_id]):
        raise CribStateError(
            f"{tag} is in use in run {code} ({person}), which books its cuts push by push with `broachplan run pushed {number}`; book others once that run has ended or is parked"
        )


def _in_use(work: Work, piece_ids: Iterable[int]) -> Iterator[tuple[str, int, str, str]]:
    """The pieces among some that open runs use which are not parked: tag, number of the run, its code, its person."""
    for lot in in_lots(piece_ids):
        query = (
            select(PIECE.c.tag, RUN.c.id, RUN.c.letters, RUN.c.person)
            .select_from(_TABLES)
            .where(RUN_PIECE.c.piece_id.in_(lot), _IN_USE)
            .order_by(RUN.c.id, PIECE.c.tag)
        )
        for tag, number, letters, person in work.connection.execute(query):
            yield tag, number, f"R{number}-{letters}", person


def check_change_not_in_run(work: Work, kind: Kind, changed: Iterable[tuple[int, Iterable[Change]]]) -> None:
    """The same for those pieces of a kind of which a figure or the condition is to be another; ids with their changes."""
    names = {figure.name for figure in FIGURES[kind]} | {"condition"}
    check_not_in_run(
        work, [piece_id for piece_id, changes in changed if names & {change.name for change in changes}]
    )


def check_not_booked(work: Work, piece_id: int, tag: str) -> None:
    """Raise `CribStateError` where a run has booked cuts on the open loan of a broach: they would count twice."""
    query = (
        select(RUN.c.id, RUN.c.letters)
        .select_from(_TABLES.join(LOAN, LOAN.c.id == RUN_PIECE.c.booked_loan))
        .where(RUN_PIECE.c.piece_id == piece_id, LOAN.c.returned.is_(None))
        .order_by(RUN.c.id.desc())
    )
    for number, letters in work.connection.execute(query):
        raise CribStateError(
            f"run R{number}-{letters} has booked the cuts of {tag} already, push by push; return it without hubs, passes and hub length"
        )


def check_not_of_run(work: Work, action: int) -> None:
    """Raise `CribStateError` where an action is a step of a run: what was cut cannot be made not to have been."""
    query = (
        select(RUN.c.id, RUN.c.letters, RUN_STEP.c.step, RUN_STEP.c.act)
        .select_from(RUN_STEP.join(RUN, RUN.c.id == RUN_STEP.c.run_id))
        .where(RUN_STEP.c.action_id == action)
    )
    for number, letters, step, act in work.connection.execute(query):
        instead = f"`broachplan run end {number}` ends the run"
        if RunAct(act) in (RunAct.PUSHED, RunAct.READ, RunAct.CORRECTED):
            instead = f"`broachplan run correct {number} --at {step}` puts it right, {instead}"
        raise CribStateError(
            f"act {action} is step {step} of run R{number}-{letters} ({act.replace('_', ' ')}), and an act of a run is not undone here; {instead}"
        )


def check_never_in_run(work: Work, piece_ids: Iterable[int]) -> None:
    """Raise `CribStateError` where a run, be it over, has used one of some pieces: what was cut was cut with it."""
    for lot in in_lots(piece_ids):
        query = select(PIECE.c.tag, RUN.c.id, RUN.c.letters).select_from(_TABLES)
        for tag, number, letters in work.connection.execute(query.where(RUN_PIECE.c.piece_id.in_(lot))):
            raise CribStateError(f"{tag} was used in run R{number}-{letters}; retire it instead")


def finished_with(work: Work) -> dict[int, str]:
    """The pieces that are out on a loan a run made, where that run is over: their ids, each with the run's code."""
    query = (
        select(RUN_PIECE.c.piece_id, RUN.c.id, RUN.c.letters)
        .select_from(_TABLES.join(LOAN, LOAN.c.id == RUN_PIECE.c.loan_id))
        .where(LOAN.c.returned.is_(None), RUN_PIECE.c.lent_by_run == 1, RUN.c.state.not_in(OPEN))
        .order_by(RUN.c.id)
    )
    in_use = set(work.connection.scalars(select(RUN_PIECE.c.piece_id).where(RUN_PIECE.c.with_run == 1)))
    found = {piece_id: f"R{number}-{letters}" for piece_id, number, letters in work.connection.execute(query)}
    return {piece_id: code for piece_id, code in found.items() if piece_id not in in_use}


def tags_in_runs(work: Work, *, but: int = 0) -> dict[str, str]:
    """The pieces that are with an open run, without presses, each with the run's code; ``but`` is a run left out."""
    query = (
        select(PIECE.c.tag, RUN.c.id, RUN.c.letters)
        .select_from(_TABLES)
        .where(RUN_PIECE.c.with_run == 1, RUN.c.id != but)
    )
    return {tag: f"R{number}-{letters}" for tag, number, letters in work.connection.execute(query)}
