"""Do the runs agree with themselves and with the crib? Each is folded again from its steps, and its digests are taken again."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import chain

from sqlalchemy import select

from broachplan.crib.entries import Change, read
from broachplan.errors import StorageError
from broachplan.runs.code import letters_of
from broachplan.runs.state import Cause, RunState
from broachplan.runs.steps import cuts_of
from broachplan.store.histories import current_values
from broachplan.store.run_digest import not_as_written
from broachplan.store.runs import StoredRun, counts_kept, load_run, run_numbers, with_run
from broachplan.store.tables import ENTRY, LOAN, PIECE, RUN, RUN_PIECE, RUN_STEP
from broachplan.store.transaction import Work
from broachplan.store.translate import figure_values
from broachplan.tooling.figures import Kind

_CUTS, _LENGTH = "cuts", "cut_length"


def broken_runs(work: Work) -> Iterator[str]:
    """A line for each thing of a run that does not follow from its steps, or that the crib has otherwise."""
    for number in run_numbers(work):
        try:
            stored = load_run(work, number)
            assert stored is not None
            state = stored.state()
        except StorageError as error:
            yield str(error)
        except (LookupError, AssertionError, ValueError) as error:
            yield f"run {number}: its steps name what it does not have: {error}"
        else:
            yield from (f"run {number}: {wrong}" for wrong in _wrong(work, stored, state))


def _wrong(work: Work, stored: StoredRun, state: RunState) -> Iterator[str]:
    row = work.connection.execute(select(RUN).where(RUN.c.id == stored.run.number)).one()
    parked = int(Cause.PARKED in state.events and state.closed is None)
    for name, kept, follows in (
        ("state", row.state, state.status.value),
        ("reason", row.why, state.why),
        ("parking", row.parked, parked),
        ("code", row.letters, letters_of(stored.steps[0])),
        # Rows from before the column have none.
        ("counts", row.counts, counts_kept(state) if row.counts else ""),
    ):
        if kept != follows:
            yield f"its {name} is kept as {kept or 'nothing'}, and its steps lead to {follows or 'nothing'}"
    planned = [state.new_hubs, *(load.to_do for load in state.begun.values())]
    named = {tag for plan in planned for tag in (plan.broach, plan.bushing, *chain(*plan.stacks))}
    yield from (
        f"{tag} is in its plan and not among its pieces" for tag in sorted(named - state.pieces.keys())
    )
    yield from _wrong_pieces(work, stored.run.number, state)
    yield from _wrong_wear(work, stored)
    yield from not_as_written(work, stored.run.number)


def _wrong_pieces(work: Work, number: int, state: RunState) -> Iterator[str]:
    query = (
        select(PIECE.c.tag, PIECE.c.id, PIECE.c.kind, RUN_PIECE.c.loan_id, LOAN.c.returned, LOAN.c.piece_id)
        .select_from(
            RUN_PIECE.join(PIECE, PIECE.c.id == RUN_PIECE.c.piece_id).outerjoin(
                LOAN, LOAN.c.id == RUN_PIECE.c.loan_id
            )
        )
        .where(RUN_PIECE.c.run_id == number, RUN_PIECE.c.with_run == 1)
        .order_by(PIECE.c.tag)
    )
    kept, follow = set(), with_run(state)
    for tag, piece_id, kind, loan, returned, lent in work.connection.execute(query):
        kept.add(tag)
        if tag not in follow:
            yield f"{tag} is kept as in use, and by the steps it is not"
        elif loan is None or returned is not None or lent != piece_id:
            yield f"{tag} is in use and has no open loan"
        else:
            now = current_values(work, Kind(kind), [piece_id])[piece_id]
            used = figure_values(state.pieces[tag].piece)
            if names := [name for name, value in used.items() if now[name] != value]:
                yield f"{tag} is in use with another {names[0].replace('_', ' ')} than the crib has"
    yield from (f"{tag} is in use by the steps, and not kept so" for tag in sorted(follow - kept))


def _wrong_wear(work: Work, stored: StoredRun) -> Iterator[str]:
    """Each push books the hubs of its load on its broach, in its own action, and no other step books any."""
    query = (
        select(RUN_STEP.c.step, PIECE.c.tag, ENTRY.c.changes)
        .select_from(
            RUN_STEP.join(ENTRY, ENTRY.c.action_id == RUN_STEP.c.action_id).join(
                PIECE, PIECE.c.id == ENTRY.c.piece_id
            )
        )
        .where(RUN_STEP.c.run_id == stored.run.number)
        .order_by(RUN_STEP.c.step, PIECE.c.tag)
    )
    booked: dict[tuple[int, str], tuple[int, int]] = {}
    for step, tag, changes in work.connection.execute(query):
        try:
            found = {change.name: change for change in read(changes)}
        except ValueError:
            continue  # the histories show it
        cut = _more(found, _CUTS), _more(found, _LENGTH)
        if cut != (0, 0):
            booked[step, tag] = cut
    for step in stored.steps:
        tag, cuts = cuts_of(step, stored.steps)
        expected = {(step.step, tag): (cuts, cuts * stored.run.hub.length.nm)} if cuts else {}
        own = {key: cut for key, cut in booked.items() if key[0] == step.step}
        if own != expected:
            was = ", ".join(f"{cut} on {piece}" for (_, piece), (cut, _) in own.items()) or "none"
            yield f"step {step.step} makes {cuts} cuts{f' with {tag}' if tag else ''}, and what was booked is {was}"


def _more(changes: Mapping[str, Change], name: str) -> int:
    change = changes.get(name)
    old, new = (change.old, change.new) if change else (0, 0)
    return (new if isinstance(new, int) else 0) - (old if isinstance(old, int) else 0)
