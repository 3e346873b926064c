"""What all acts on a run have in common: the run as it is, the step that follows from an act, and that step kept."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from typing import Protocol

from broachplan.crib.entries import Stamp, moment
from broachplan.crib.loans import Asker, Loan
from broachplan.desks.attendant.clock import stamped
from broachplan.errors import ExitCode, InputError
from broachplan.planner.answer import Answer
from broachplan.questions.read_run import read_number
from broachplan.runs.acts.acting import Acted, is_no
from broachplan.runs.ahead import OnHand
from broachplan.runs.code import check_letters, read_code
from broachplan.runs.fold import state_of
from broachplan.runs.state import RunState
from broachplan.runs.steps import RunAct, Step, ToDo, cuts_of
from broachplan.store.entries import ActLine
from broachplan.store.job_holds import asker_named, last_day_of
from broachplan.store.run_digest import vouch
from broachplan.store.run_loans import book_cuts, take
from broachplan.store.run_shelf import check_unchanged, on_hand
from broachplan.store.runs import (
    StoredRun,
    add_step,
    check_last_step,
    keep_state,
    load_run,
    note_booked,
    with_run,
)
from broachplan.store.transaction import Work
from broachplan.store.work import reading, writing


class ActRequest(Protocol):
    """What every act on a run is asked with: the run, the last step that was seen, and who does it."""

    @property
    def run(self) -> str: ...
    @property
    def step(self) -> str: ...
    @property
    def by(self) -> str: ...


Effects = Callable[[Work, StoredRun, RunState, Step], Sequence[ActLine]]


@dataclass(frozen=True, slots=True)
class Kept:
    """A run after an act: the steps that the act added are the last ``added`` of its state.

    ``other`` is the plan that was not taken where there are two, ``answer`` what the planner said where it was asked;
    ``taken`` are the pieces that the run has with it now and had not before, ``homes`` says where they live.
    """

    stored: StoredRun
    state: RunState
    added: int
    other: ToDo | None = None
    answer: Answer | None = None
    taken: tuple[str, ...] = ()
    homes: Mapping[str, str] = field(default_factory=dict)

    @property
    def steps(self) -> tuple[Step, ...]:
        """The steps that were added."""
        return self.state.steps[len(self.state.steps) - self.added :]

    @property
    def code(self) -> ExitCode:
        """0, or 3 where the step is kept and the answer is no: past a limit, blocked, or disputed."""
        return ExitCode.NO if is_no(self.state, self.other) else ExitCode.DONE


def seen_run(work: Work, text: str) -> tuple[StoredRun, RunState]:
    """The run that a number or a code names.

    Raises
    ------
    InputError : there is none, or the letters are another run's.
    """
    number, letters = read_code(text)
    stored = load_run(work, number)
    if stored is None:
        raise InputError(
            "run",
            "`broachplan run list` shows those there are",
            read=text,
            fault=": no such run",
        )
    check_letters(number, letters, stored.steps[0])
    return stored, stored.state()


def asker_of(work: Work, stored: StoredRun) -> Asker:
    """Who works on a run, and for which work."""
    return asker_named(work, stored.person, stored.run.job)


def hand_of(work: Work, stored: StoredRun, state: RunState, on: date) -> OnHand:
    """What is on hand for a run on a day."""
    run = stored.run
    return on_hand(
        work, run.hub, run.keyway, run.settings, on, asker_of(work, stored), state.pieces, run.number
    )


def act_on(
    db: str | None,
    request: ActRequest,
    act: Callable[[RunState, OnHand, str], Acted],
    at: datetime | None,
    effects: Effects | None = None,
    *,
    goes_on: bool = False,
) -> Kept:
    """Do an act on the run that a request names, as it is now, with what is on hand.

    ``effects`` are those on pieces that leave the run or change. ``goes_on``: tools that lie in the crib are taken by
    the person who does it, and not the one who had them before.

    Raises
    ------
    InputError : no such run, or something typed that cannot be.
    CribStateError : another step was confirmed since the one that was seen, or the run or the crib forbids it.
    StorageError : the database cannot be used.
    """
    stamp = stamped(request.by, at)
    seen = read_number(request.step, "step") if request.step.strip() else None
    with reading(db, to_write=True) as work:
        stored, state = seen_run(work, request.run)
        if seen is not None:
            check_last_step(work, stored.run.number, seen)
        if goes_on and stamp.by and not with_run(state):
            stored = replace(stored, person=stamp.by)
        hand = hand_of(work, stored, state, stamp.day)
    kept = keep(db, stored, act(state, hand, stamp.by), stamp, effects)
    return replace(kept, homes=hand.shelf.homes)


def keep(
    db: str | None, stored: StoredRun, acted: Acted, stamp: Stamp, effects: Effects | None = None
) -> Kept:
    """Keep the steps of an act and what they do to pieces, in one transaction: all that a command says, or nothing.

    Raises
    ------
    CribStateError : another step was confirmed since, or a piece may not be used any more; nothing is written.
    """
    state = acted.before
    with writing(db) as work:
        check_last_step(work, stored.run.number, state.step)
        for step in acted.steps:
            stored, state = write_step(work, stored, state, step, stamp, effects)
        work.commit()
    taken = tuple(tag for tag in state.pieces if tag in state.held - acted.before.held)
    return Kept(stored, state, len(acted.steps), acted.other, acted.answer, taken)


def write_step(
    work: Work,
    stored: StoredRun,
    before: RunState | None,
    step: Step,
    stamp: Stamp,
    effects: Effects | None = None,
) -> tuple[StoredRun, RunState]:
    """Write a step, and what follows from it: loans, wear, the state; in the caller's transaction.

    Pieces that are with the run from this step on are lent to the worker, all or none. ``effects`` are those on pieces
    that leave it.
    """
    run, number = stored.run, stored.run.number
    step = replace(step, at=moment(stamp.written), by=stamp.by)
    lines = list(effects(work, stored, before, step)) if effects and before else []
    state = state_of(run, (*stored.steps, step))
    new = with_run(state) - (with_run(before) if before else frozenset())
    if new:
        check_unchanged(work, [state.pieces[tag].piece for tag in new])
        loan = Loan(stored.person, stamp.day, last_day_of(work, run.job, stamp.day), run.job)
        taken = take(work, sorted(new), asker_of(work, stored), loan, note_of(stored, step))
        lines += taken.lines
        step = _with_lent(step, state, new, taken.lent)
    tag, cuts = cuts_of(step, (*stored.steps, step))
    if cuts:
        lines.append(book_cuts(work, tag, cuts, run.hub.length, note_of(stored, step)))
    add_step(work, number, step, stamp, lines)
    stored = replace(stored, steps=(*stored.steps, step))
    state = state_of(run, stored.steps)
    keep_state(work, stored, state)
    if cuts > 0:
        note_booked(work, number, tag)
    vouch(work, number, step.step)
    return stored, state


def _with_lent(step: Step, state: RunState, new: Collection[str], lent: Collection[str]) -> Step:
    """The step, with the pieces that it takes split into those that the run lends and the others."""
    pieces = {piece.tag: piece for piece in step.pieces}
    for tag in sorted(new):
        piece = replace(state.pieces[tag], lent_by_run=tag in lent)
        if tag in pieces or piece != state.pieces[tag]:
            pieces[tag] = piece
    return replace(step, pieces=tuple(pieces.values()))


def note_of(stored: StoredRun, step: Step) -> str:
    """What the history of a piece says of a step."""
    act = "pushed part way" if step.act is RunAct.PART_WAY else step.act.value.replace("_", " ")
    return f"run {stored.code}, step {step.step}: {act}"
