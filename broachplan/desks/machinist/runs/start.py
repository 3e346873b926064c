"""Start a run: plan again, and lend its pieces to the worker, all or none."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from datetime import datetime
from importlib.metadata import version
from typing import Any

from broachplan.crib.entries import Stamp
from broachplan.crib.loans import Asker
from broachplan.crib.shelf import Beyond, Shelf
from broachplan.crib.words import LONGEST_NAME, checked_words
from broachplan.desks.attendant.clock import stamped
from broachplan.desks.machinist.runs.keeping import Kept, write_step
from broachplan.errors import CribStateError, ExitCode, InputError
from broachplan.jobs.job import Job
from broachplan.planner.answer import Answer, Plan
from broachplan.planner.plan import plan
from broachplan.questions.hub import JOB_COLUMNS, HubQuestion
from broachplan.questions.read_hub import read_hub_question
from broachplan.questions.read_run import read_marks, read_number, read_order
from broachplan.questions.runs import RunStartRequest
from broachplan.runs.acts.starting import started
from broachplan.runs.ahead import OnHand, to_do_of
from broachplan.runs.code import letters_of
from broachplan.runs.picked_up import picked_up
from broachplan.runs.run import Order, Run, read_each_of
from broachplan.settings import Settings
from broachplan.store.job_holds import asker_named
from broachplan.store.jobs import load_job
from broachplan.store.run_shelf import in_the_way, on_hand, without_loans_and_holds
from broachplan.store.runs import StoredRun, add_run
from broachplan.store.settings_store import load_settings
from broachplan.store.transaction import Work
from broachplan.store.work import reading, writing
from broachplan.tooling.figures import Kind


@dataclass(frozen=True, slots=True)
class NotStarted:
    """There is no plan, so nothing is kept; the answer says why and what would help."""

    answer: Answer

    @property
    def code(self) -> ExitCode:
        """The answer is no."""
        return ExitCode.NO


def start_run(db: str | None, request: RunStartRequest, *, at: datetime | None = None) -> Kept | NotStarted:
    """Start a run: its pieces are lent to the worker, due on the last day of its job, else today.

    A run of a job of the list takes the job's question; where the job is started, it is planned with what the job holds.

    Parameters
    ----------
    db : the database's path or URL; None takes the user's own.
    at : when; see `stamped`.

    Raises
    ------
    InputError : a field that cannot be read, or a tag that the crib does not have.
    CribStateError : the job is done or dropped; there would be a plan with pieces that are lent, held for other work or in use in a run, or one
        of its pieces was lent or changed meanwhile.
    StorageError : the database cannot be used.
    """
    stamp = stamped(request.by, at)
    # Wrong input is refused before the crib is opened.
    run = None if request.of_job else _asked(request)
    with reading(db, to_write=True) as work:
        job = _open_job(work, request.job) if run is None else None
        run = run or _asked(_of_job(request, job))
        run = replace(run, settings=load_settings(work).as_typed_in(run.hub.system))
        asker = asker_named(work, stamp.by, run.job)
        hand = on_hand(work, run.hub, run.keyway, run.settings, stamp.day, asker)
        shelf = _only(_held_by(hand.shelf, job), request.broach.strip(), request.bushing.strip())
        answer = _planned(run, shelf)
        anyway = answer if answer.ready else _planned(run, without_loans_and_holds(work, shelf))
    if not answer.ready:
        if anyway.ready:
            raise CribStateError(in_the_way(anyway.plans[0], shelf))
        return NotStarted(answer)
    made = answer.plans[0]
    return _begun(db, replace(run, order=_order(request.order, run, made)), made, hand, asker, stamp)


def _open_job(work: Work, number: str) -> Job:
    job = load_job(work, number)
    if not job.state.is_open:
        raise CribStateError(
            f"job {job.number} is {job.state}; a run is started of a job that is coming or started"
        )
    return job


def _of_job(request: RunStartRequest, job: Job | None) -> RunStartRequest:
    """The request with the question of a job, and with what the job says where the request says nothing."""
    assert job is not None
    question: dict[str, Any] = {name: job.question.get(name, "") for name in JOB_COLUMNS}
    return replace(
        request,
        **question,
        job=job.number,
        press=request.press.strip() or job.press,
        hubs=request.hubs.strip() or str(job.quantity),
        drawing=request.drawing.strip() or job.drawing,
    )


def _held_by(shelf: Shelf, job: Job | None) -> Shelf:
    """The shelf with no other broaches, bushings and shims than those that a started job holds."""
    if job is None or not job.pieces:
        return shelf
    return replace(
        shelf,
        broaches=tuple(each for each in shelf.broaches if each.tag in job.pieces),
        bushings=tuple(each for each in shelf.bushings if each.tag in job.pieces),
        shims=tuple(each for each in shelf.shims if each.tag in job.pieces),
        broaches_beyond=Beyond(),
        bushings_beyond=Beyond(),
    )


def _asked(request: RunStartRequest) -> Run:
    """The run as it was asked for, without a number, the shop's settings and an order of loads yet."""
    hub, keyway = read_hub_question(request)
    quantity = read_number(request.hubs, "hubs") if request.hubs.strip() else hub.stack
    return Run(
        number=0,
        question={
            each.name: _kept_text(getattr(request, each.name), each.name) for each in fields(HubQuestion)
        },
        hub=hub,
        keyway=keyway,
        settings=Settings(),
        program=version("broachplan"),
        quantity=quantity,
        read_each=read_each_of(request.read_each, quantity),
        press=request.press.strip() or None,
        job=checked_words(request.job, "job", LONGEST_NAME),
        drawing=checked_words(request.drawing, "drawing"),
        marks=read_marks(request.marks),
    )


def _kept_text(value: str | bool, name: str) -> str | bool:
    """A line of the question as it was typed, without the freedom of spaces."""
    return (
        value if isinstance(value, bool) else checked_words(" ".join(value.split()), name.replace("_", " "))
    )


def _planned(run: Run, shelf: Shelf) -> Answer:
    return plan(run.hub, run.keyway, shelf, run.settings, press=run.press, most_plans=1)


def _only(shelf: Shelf, broach: str, bushing: str) -> Shelf:
    """The shelf with no other broach and bushing than those that were named."""
    if bool(broach) != bool(bushing):
        raise InputError("broach and bushing", "name both, or neither")
    if not broach:
        return shelf
    broaches = tuple(each for each in shelf.broaches if each.tag == broach)
    bushings = tuple(each for each in shelf.bushings if each.tag == bushing)
    for kind, tag, found in ((Kind.BROACH, broach, broaches), (Kind.BUSHING, bushing, bushings)):
        if not found:
            raise InputError(kind.value, f"name a {kind} that the crib has and that fits", read=tag)
    return replace(shelf, broaches=broaches, bushings=bushings)


def _order(text: str, run: Run, made: Plan) -> Order:
    if text.strip():
        return read_order(text)
    return picked_up(run.quantity, len(run.loads), to_do_of(made).stacks).proposed


def _begun(db: str | None, run: Run, made: Plan, hand: OnHand, asker: Asker, stamp: Stamp) -> Kept:
    step = started(run, made, hand)
    letters = letters_of(step)
    with writing(db) as work:
        number = add_run(work, run, letters, asker.name or letters)
        person = asker.name or f"run R{number}-{letters}"
        stored = StoredRun(replace(run, number=number), (), letters, person)
        stored, state = write_step(work, stored, None, step, stamp)
        work.commit()
    return Kept(stored, state, 1, taken=tuple(state.pieces), homes=hand.shelf.homes)
