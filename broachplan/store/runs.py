"""Runs as the crib keeps them: between rows and the frozen run, its steps and its pieces. Steps are only ever added."""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import astuple, dataclass
from functools import lru_cache
from typing import Any

from sqlalchemy import func, insert, select, update
from sqlalchemy.exc import IntegrityError

from broachplan.crib.entries import Stamp
from broachplan.crib.records import Measurement
from broachplan.errors import CribStateError, InputError, StorageError
from broachplan.lengths import Length
from broachplan.questions.hub import HubQuestion
from broachplan.questions.read_hub import read_hub_question
from broachplan.runs.counts import counts_of
from broachplan.runs.fold import FoldError, state_of
from broachplan.runs.run import Order, Run, RunPiece
from broachplan.runs.state import Cause, RunState
from broachplan.runs.steps import End, RunAct, Step, ToDo
from broachplan.settings import NAMES, Settings, changed, written
from broachplan.store.entries import ActLine, record_anyway
from broachplan.store.kept import day_kept, moment_kept, word_kept
from broachplan.store.tables import ACTION, LOAN, PIECE, RUN, RUN_PIECE, RUN_STEP
from broachplan.store.transaction import Work
from broachplan.store.translate import Translator, figure_columns, figure_values
from broachplan.tooling.figures import Kind

_LENGTHS = ("plain", "expected", "low", "high", "t")


@dataclass(frozen=True, slots=True)
class StoredRun:
    """A run with its steps; ``letters`` belong to its code, ``person`` has its tools."""

    run: Run
    steps: tuple[Step, ...]
    letters: str
    person: str

    @property
    def code(self) -> str:
        """What a sheet or a label bears of it: ``R7-K3QX``."""
        return f"R{self.run.number}-{self.letters}"

    def state(self) -> RunState:
        """What the run is after its steps.

        Raises
        ------
        StorageError : no run can have these steps.
        """
        try:
            return state_of(self.run, self.steps)
        except (FoldError, InputError) as error:
            raise StorageError(f"the crib holds a run that cannot be, {self.run.number}: {error}") from error


def add_run(work: Work, run: Run, letters: str, person: str) -> int:
    """Keep a run that is about to start; its number, whatever ``run.number`` is."""
    values = {
        "letters": letters,
        "state": "running",
        "why": "",
        "person": person,
        "question": _as_json(dict(run.question)),
        "quantity": run.quantity,
        "order_of": run.order.value,
        "read_each": run.read_each,
        "press": run.press or "",
        "marks": _as_json(run.marks),
        "job": run.job,
        "drawing": run.drawing,
        "settings": _as_json({name: written(run.settings, name) for name in NAMES}),
        "program": run.program,
    }
    (number,) = work.connection.execute(insert(RUN).values(values)).inserted_primary_key or (0,)
    return int(number)


def add_step(work: Work, number: int, step: Step, stamp: Stamp, lines: Iterable[ActLine] = ()) -> None:
    """Keep one more step of a run, with what it did to pieces, as one action.

    Raises
    ------
    CribStateError : another station was first with a step of that number.
    """
    action = record_anyway(work, stamp, list(lines))
    try:
        with work.connection.begin_nested():
            work.connection.execute(insert(RUN_STEP).values(_step_row(number, step, action)))
    except IntegrityError as error:
        check_last_step(work, number, step.step - 1)
        raise CribStateError(f"step {step.step} of run {number} was confirmed at another station") from error
    ids = _ids(work, [piece.tag for piece in step.pieces])
    rows = [_piece_row(number, step.step, ids[piece.tag], piece) for piece in step.pieces]
    if rows:
        work.connection.execute(insert(RUN_PIECE), rows)


def check_last_step(work: Work, number: int, seen: int) -> None:
    """Raise `CribStateError`, with what was confirmed since and by whom, unless a run's last step is the one seen."""
    query = (
        select(RUN_STEP.c.step, RUN_STEP.c.act, ACTION.c.by_name)
        .join(ACTION, ACTION.c.id == RUN_STEP.c.action_id)
        .where(RUN_STEP.c.run_id == number)
        .order_by(RUN_STEP.c.step.desc())
        .limit(1)
    )
    step, act, by = work.connection.execute(query).one()
    if step != seen:
        who = f" by {by}" if by else ""
        raise CribStateError(
            f"run {number} is at step {step} ({act.replace('_', ' ')}{who}), not at step {seen}; nothing was written: look at the run again"
        )


def keep_state(work: Work, stored: StoredRun, state: RunState) -> None:
    """Keep what follows from the steps: the state, and which pieces are with the run, on which loans.

    Raises
    ------
    CribStateError : a piece is in use in another run.
    """
    number = stored.run.number
    parked = Cause.PARKED in state.events and state.closed is None
    values = {
        "state": state.status.value,
        "why": state.why,
        "parked": int(parked),
        "person": stored.person,
        "counts": counts_kept(state),
    }
    work.connection.execute(update(RUN).where(RUN.c.id == number).values(values))
    of_run = RUN_PIECE.c.run_id == number
    work.connection.execute(update(RUN_PIECE).where(of_run, RUN_PIECE.c.with_run == 1).values(with_run=0))
    for tag, row in _last_rows(work, number, with_run(state)).items():
        loan = select(LOAN.c.id).where(LOAN.c.piece_id == RUN_PIECE.c.piece_id, LOAN.c.returned.is_(None))
        marked = (
            update(RUN_PIECE).where(RUN_PIECE.c.id == row).values(with_run=1, loan_id=loan.scalar_subquery())
        )
        try:
            with work.connection.begin_nested():
                work.connection.execute(marked)
        except IntegrityError as error:
            raise CribStateError(f"{tag} is in use in another run") from error


def counts_kept(state: RunState) -> str:
    """The hubs of a run in numbers, as its row keeps them."""
    return _as_json(astuple(counts_of(state)))


def with_run(state: RunState) -> frozenset[str]:
    """The tags of the pieces that nobody but the run may use now: a press serves several at once."""
    return frozenset(tag for tag in state.held if state.pieces[tag].piece.kind is not Kind.PRESS)


def note_booked(work: Work, number: int, tag: str) -> None:
    """Remember that the run booked cuts of a broach on the loan it has it on now."""
    for row in _last_rows(work, number, [tag]).values():
        work.connection.execute(
            update(RUN_PIECE).where(RUN_PIECE.c.id == row).values(booked_loan=RUN_PIECE.c.loan_id)
        )


def load_run(work: Work, number: int) -> StoredRun | None:
    """A run by its number; None where there is none.

    Raises
    ------
    StorageError : its rows make no run.
    """
    row = work.connection.execute(select(RUN).where(RUN.c.id == number)).mappings().one_or_none()
    if row is None:
        return None
    try:
        run = _run(row)
        pieces = _pieces(work, number)
        query = (
            select(RUN_STEP, ACTION.c.at, ACTION.c.by_name)
            .join(ACTION, ACTION.c.id == RUN_STEP.c.action_id)
            .where(RUN_STEP.c.run_id == number)
            .order_by(RUN_STEP.c.step)
        )
        steps = tuple(_step(each, pieces) for each in work.connection.execute(query).mappings())
    except (ValueError, TypeError, KeyError, InputError, RecursionError) as error:
        raise StorageError(f"the crib holds a run that cannot be, {number}: {error}") from error
    return StoredRun(run, steps, row["letters"], row["person"])


def run_numbers(work: Work) -> list[int]:
    """The numbers of the runs."""
    return list(work.connection.scalars(select(RUN.c.id).order_by(RUN.c.id)))


def _last_rows(work: Work, number: int, tags: Iterable[str]) -> dict[str, int]:
    """For each of some pieces the last row of it in a run, in the order of the tags."""
    query = (
        select(PIECE.c.tag, func.max(RUN_PIECE.c.id))
        .join(RUN_PIECE, RUN_PIECE.c.piece_id == PIECE.c.id)
        .where(RUN_PIECE.c.run_id == number)
        .group_by(PIECE.c.tag)
    )
    found: dict[str, int] = {row[0]: row[1] for row in work.connection.execute(query)}
    return {tag: found[tag] for tag in sorted(tags)}


def _ids(work: Work, tags: Iterable[str]) -> dict[str, int]:
    query = select(PIECE.c.tag, PIECE.c.id).where(PIECE.c.tag.in_(list(tags)))
    return {row[0]: row[1] for row in work.connection.execute(query)}


def _piece_row(number: int, step: int, piece_id: int, piece: RunPiece) -> dict[str, Any]:
    measured = piece.measured
    known = {name: value for name, value in figure_values(piece.piece).items() if value is not None}
    return {
        "run_id": number,
        "step": step,
        "piece_id": piece_id,
        "version": piece.version,
        "figures": _as_json(known),
        "measured_with": measured.with_what,
        "measured_on": measured.on.isoformat() if measured.on else None,
        "measured_by": measured.by,
        "measured_to": measured.to.nm if measured.to else None,
        "lent_by_run": int(piece.lent_by_run),
    }


def _pieces(work: Work, number: int) -> Mapping[int, list[RunPiece]]:
    """The pieces that a run takes with each of its steps, by the step."""
    query = (
        select(RUN_PIECE, PIECE.c.tag, PIECE.c.kind)
        .join(PIECE, PIECE.c.id == RUN_PIECE.c.piece_id)
        .where(RUN_PIECE.c.run_id == number)
        .order_by(RUN_PIECE.c.id)
    )
    found: dict[int, list[RunPiece]] = defaultdict(list)
    for row in work.connection.execute(query).mappings():
        kind, figures = word_kept(Kind, row["kind"]), _object(row["figures"])
        on, to = row["measured_on"], row["measured_to"]
        piece = Translator(kind).piece(row["tag"], [figures.pop(name, None) for name in figure_columns(kind)])
        if figures:
            raise ValueError(f"{row['tag']} has no {', '.join(figures)}")
        measured = Measurement(
            row["measured_with"], day_kept(on) if on else None, row["measured_by"], Length(to) if to else None
        )
        found[row["step"]].append(
            RunPiece(
                piece=piece, measured=measured, version=row["version"], lent_by_run=bool(row["lent_by_run"])
            )
        )
    return found


def _run(row: Mapping[Any, Any]) -> Run:
    question = _object(row["question"])
    hub, keyway = read_hub_question(HubQuestion(**question))
    return Run(
        number=row["id"],
        question=question,
        hub=hub,
        keyway=keyway,
        settings=_settings(row["settings"]),
        program=row["program"],
        quantity=row["quantity"],
        order=Order(row["order_of"]),
        read_each=row["read_each"],
        press=row["press"] or None,
        job=row["job"],
        drawing=row["drawing"],
        marks=tuple(map(str, _list(row["marks"]))),
    )


@lru_cache(maxsize=32)
def _settings(kept: str) -> Settings:
    """The shop's settings as a run keeps them; most runs of a shop keep the same."""
    settings = Settings()
    for name, text in _object(kept).items():
        settings = changed(settings, name, text)
    return settings


def _step_row(number: int, step: Step, action: int) -> dict[str, Any]:
    lengths = {name: getattr(step, name) for name in _LENGTHS}
    return {
        "run_id": number,
        "step": step.step,
        "action_id": action,
        "act": step.act.value,
        "load_number": step.load,
        "hubs": _as_json(step.hubs),
        "pass_number": step.pass_number,
        "shims": _as_json(step.shims),
        **{name: None if length is None else length.nm for name, length in lengths.items()},
        "hub": step.hub,
        "end_of": step.end.value if step.end else "",
        "way": step.way,
        "typed": step.typed,
        "with_what": step.with_what,
        "doubtful": int(step.doubtful),
        "sure": int(step.sure),
        "piece": step.piece,
        "why": step.why,
        "corrects": step.corrects,
        "to_do": _as_json(_written(step.to_do)),
        "new_hubs": _as_json(_written(step.new_hubs)),
    }


def _step(row: Mapping[Any, Any], pieces: Mapping[int, list[RunPiece]]) -> Step:
    shims = json.loads(row["shims"])
    return Step(
        step=row["step"],
        act=RunAct(row["act"]),
        at=moment_kept(row["at"]),
        by=row["by_name"],
        load=row["load_number"],
        hubs=tuple(map(int, _list(row["hubs"]))),
        pass_number=row["pass_number"],
        shims=None if shims is None else tuple(map(str, shims)),
        **{name: None if row[name] is None else Length(row[name]) for name in _LENGTHS},
        hub=row["hub"],
        end=End(row["end_of"]) if row["end_of"] else None,
        way=row["way"],
        typed=row["typed"],
        with_what=row["with_what"],
        doubtful=bool(row["doubtful"]),
        sure=bool(row["sure"]),
        piece=row["piece"],
        why=row["why"],
        corrects=row["corrects"],
        to_do=_to_do(row["to_do"]),
        new_hubs=_to_do(row["new_hubs"]),
        pieces=tuple(pieces.get(row["step"], ())),
    )


def _written(to_do: ToDo | None) -> dict[str, Any] | None:
    if to_do is None:
        return None
    return {
        "broach": to_do.broach,
        "bushing": to_do.bushing,
        "press": to_do.press,
        "stacks": to_do.stacks,
        "blocked": to_do.blocked,
    }


def _to_do(text: str) -> ToDo | None:
    if text == "null":
        return None
    kept = _object(text)
    press = None if kept["press"] is None else str(kept["press"])
    stacks = tuple(tuple(map(str, stack)) for stack in kept["stacks"])
    return ToDo(str(kept["broach"]), str(kept["bushing"]), press, stacks, bool(kept["blocked"]))


def _as_json(value: object) -> str:
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"))


def _object(text: str) -> dict[str, Any]:
    found = json.loads(text)
    if not isinstance(found, dict):
        raise ValueError("a list where names were to be")
    return found


def _list(text: str) -> list[Any]:
    found = json.loads(text)
    if not isinstance(found, list):
        raise ValueError("no list where one was to be")
    return found
