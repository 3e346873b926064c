"""The tables of the runs: what is cut at the press, with which pieces, step by step.

Steps are only ever added; what a run is at any moment follows from them. Columns beside the steps that could be derived
(state, pieces that are with a run) serve the questions that must not be answered twice, and `data check` holds them to
the steps.
"""

from __future__ import annotations

from typing import Any

from sqlalchemy import (
    CheckConstraint,
    Column,
    ForeignKey,
    ForeignKeyConstraint,
    Index,
    Integer,
    Text,
    UniqueConstraint,
    text,
)
from sqlmodel import Field

from broachplan.store.columns import (
    STRICT,
    WIDE,
    Row,
    day_column,
    id_column,
    is_one_of,
    piece_column,
    size_column,
    words_column,
)

STATES = ("running", "stopped", "done", "abandoned")
# Written out and not derived, as everything that a revision makes; a test compares them with the acts of a run.
RUN_ACTS = (
    "started",
    "pushed",
    "part_way",
    "not_pushed",
    "read",
    "not_read",
    "again",
    "replanned",
    "measured",
    "corrected",
    "gone",
    "broken",
    "scrapped",
    "accepted",
    "aside",
    "stopped",
    "parked",
    "resumed",
    "ended",
    "abandoned",
    "gauging",
)
_LONGEST_JSON = 20_000
_LONGEST_MARKS = 1_000_000


def _reference(name: str, to: str, *, nullable: bool = False) -> Any:
    return Field(sa_column=Column(name, Integer, ForeignKey(f"{to}.id"), nullable=nullable))


def _flag(name: str) -> Any:
    rule = CheckConstraint(f"{name} IN (0, 1)", name=f"{name}_flag")
    return Field(sa_column=Column(name, Integer, rule, nullable=False, server_default=text("0")))


def _number(name: str, least: int, most: int, *, nullable: bool = False) -> Any:
    rule = CheckConstraint(f"{name} BETWEEN {least} AND {most}", name=f"{name}_range")
    return Field(sa_column=Column(name, Integer, rule, nullable=nullable))


def _word(name: str) -> Any:
    return Field(sa_column=Column(name, Text, nullable=False))


def _json(name: str, most: int = _LONGEST_JSON) -> Any:
    return words_column(name, least=2, most=most)


def _length(name: str) -> Any:
    return Field(sa_column=Column(name, WIDE))


class RunRow(Row, table=True):
    """One plan carried out at the press on like hubs.

    ``letters`` belong to the code of the run; ``person`` has the tools; ``question`` is what was typed, by the names of
    its lines, and ``settings`` the shop's, both as JSON, as are the hubs' ``marks``. ``counts`` are its hubs in numbers, so
    that a list of runs folds none; empty in rows from before there was the column. ``seal``: see `run_digest`.
    """

    __tablename__ = "run"
    __table_args__ = (
        is_one_of("state", STATES),
        is_one_of("order_of", ("loads", "passes")),
        CheckConstraint("length(letters) = 4", name="letters_four"),
        CheckConstraint("parked = 0 OR state = 'stopped'", name="parked_stopped"),
        Index("ix_run_state", "state"),
        STRICT,
    )
    id: int | None = id_column()
    letters: str = _word("letters")
    state: str = _word("state")
    why: str = words_column("why")
    parked: int = _flag("parked")
    person: str = words_column("person", least=1, most=100)
    question: str = _json("question")
    quantity: int = _number("quantity", 1, 100_000)
    order_of: str = _word("order_of")
    read_each: int = _number("read_each", 1, 999_999)
    press: str = words_column("press", most=40)
    marks: str = _json("marks", most=_LONGEST_MARKS)
    job: str = words_column("job", most=100)
    drawing: str = words_column("drawing")
    settings: str = _json("settings")
    program: str = words_column("program", least=1, most=40)
    counts: str = words_column("counts", default="")
    seal: str = words_column("seal", most=64, default="")


class RunStepRow(Row, table=True):
    """One step of a run; its own action says who did it and when.

    Lists of hubs and shims, and what is ``to_do`` after it, are JSON. Lengths are nanometres. ``digest``: see `run_digest`.
    """

    __tablename__ = "run_step"
    __table_args__ = (
        is_one_of("act", RUN_ACTS),
        is_one_of("end_of", ("", "top", "bottom")),
        is_one_of("way", ("", "inside", "block", "wall", "floor")),
        CheckConstraint("step >= 1", name="step_least"),
        CheckConstraint("corrects < step", name="corrects_earlier"),
        UniqueConstraint("run_id", "step"),
        UniqueConstraint("action_id"),
        STRICT,
    )
    id: int | None = id_column()
    run_id: int = _reference("run_id", "run")
    step: int = Field(sa_column=Column("step", Integer, nullable=False))
    action_id: int = _reference("action_id", "action")
    act: str = _word("act")
    load_number: int | None = _number("load_number", 1, 100_000, nullable=True)
    hubs: str = _json("hubs", most=_LONGEST_MARKS)
    pass_number: int | None = _number("pass_number", 1, 100_000, nullable=True)
    shims: str = _json("shims")
    plain: int | None = _length("plain")
    expected: int | None = _length("expected")
    low: int | None = _length("low")
    high: int | None = _length("high")
    hub: int | None = _number("hub", 1, 100_000, nullable=True)
    end_of: str = _word("end_of")
    way: str = _word("way")
    typed: str = words_column("typed")
    t: int | None = _length("t")
    with_what: str = words_column("with_what", most=100)
    doubtful: int = _flag("doubtful")
    sure: int = _flag("sure")
    piece: str = words_column("piece", most=40)
    why: str = words_column("why")
    corrects: int | None = Field(sa_column=Column("corrects", Integer))
    to_do: str = _json("to_do")
    new_hubs: str = _json("new_hubs")
    digest: str = words_column("digest", most=64, default="")


class RunPieceRow(Row, table=True):
    """A piece as a run uses it from a step on: its figures as JSON, in the units of its own table.

    ``with_run``: no other run may use it meanwhile; of a piece's rows in a run only the last may be so, and a press, which
    serves several runs at once, never is. ``loan_id`` is the loan on which the run has it or had it last, and
    ``booked_loan`` the one on which the run last booked cuts of it.
    """

    __tablename__ = "run_piece"
    __table_args__ = (
        CheckConstraint("version >= 1", name="version_least"),
        UniqueConstraint("run_id", "step", "piece_id"),
        ForeignKeyConstraint(["run_id", "step"], ["run_step.run_id", "run_step.step"]),
        Index("ix_run_piece_piece_id", "piece_id"),
        Index(
            "uq_run_piece_with_run",
            "piece_id",
            unique=True,
            sqlite_where=text("with_run = 1"),
            postgresql_where=text("with_run = 1"),
        ),
        STRICT,
    )
    id: int | None = id_column()
    run_id: int = Field(sa_column=Column("run_id", Integer, nullable=False))
    step: int = Field(sa_column=Column("step", Integer, nullable=False))
    piece_id: int = piece_column()
    version: int = Field(sa_column=Column("version", Integer, nullable=False))
    figures: str = _json("figures")
    measured_with: str = words_column("measured_with")
    measured_on: str | None = day_column("measured_on")
    measured_by: str = words_column("measured_by")
    measured_to: int | None = size_column("measured_to")
    lent_by_run: int = _flag("lent_by_run")
    with_run: int = _flag("with_run")
    loan_id: int | None = _reference("loan_id", "loan", nullable=True)
    booked_loan: int | None = _reference("booked_loan", "loan", nullable=True)
