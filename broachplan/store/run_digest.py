"""What vouches for the rows of a run: a digest for each step, and a seal for what follows from the steps.

A step's digest is the SHA-256 of its row, of the pieces taken with it, of its action, and of the digest before; the first
one goes on from what the run began with. So nothing that was written once can be changed, moved or left out without one of
them being wrong. What is written anew with each step has the seal, which also covers the last digest.

Rows are read back before they are digested, so that what is vouched for is what the database holds. The columns are
written out, not derived: a column of a later revision must not change the digests of earlier rows.
"""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Iterator, Sequence
from hashlib import sha256
from typing import Any

from sqlalchemy import Row, Select, Table, select, update

from broachplan.store.tables import ACTION, RUN, RUN_PIECE, RUN_STEP
from broachplan.store.transaction import Work

RUN_BEGUN = (
    *("id", "letters", "question", "quantity", "order_of", "read_each", "press", "marks", "job", "drawing"),
    *("settings", "program"),
)
RUN_NOW = ("state", "why", "parked", "person", "counts")
STEP = (
    *("id", "run_id", "step", "action_id", "act", "load_number", "hubs", "pass_number", "shims", "plain"),
    *(
        "expected",
        "low",
        "high",
        "hub",
        "end_of",
        "way",
        "typed",
        "t",
        "with_what",
        "doubtful",
        "sure",
        "piece",
    ),
    *("why", "corrects", "to_do", "new_hubs"),
)
PIECE_TAKEN = (
    *(
        "id",
        "run_id",
        "step",
        "piece_id",
        "version",
        "figures",
        "measured_with",
        "measured_on",
        "measured_by",
    ),
    *("measured_to", "lent_by_run"),
)
PIECE_NOW = ("id", "with_run", "loan_id", "booked_loan")


def vouch(work: Work, number: int, step: int) -> None:
    """Write the digest of a run's last step and the run's seal, when all else of the step is written."""
    if step == 1:
        before = _begun(work, number)
    else:
        before = work.connection.scalars(
            select(RUN_STEP.c.digest).where(RUN_STEP.c.run_id == number, RUN_STEP.c.step == step - 1)
        ).one()
    row = work.connection.execute(_steps(number).where(RUN_STEP.c.step == step)).one()
    taken = work.connection.execute(_pieces(number, PIECE_TAKEN).where(RUN_PIECE.c.step == step)).all()
    digest = _digest(before, row[1:], taken)
    of_step = (RUN_STEP.c.run_id == number) & (RUN_STEP.c.step == step)
    work.connection.execute(update(RUN_STEP).where(of_step).values(digest=digest))
    work.connection.execute(update(RUN).where(RUN.c.id == number).values(seal=_seal(work, number, digest)))


def not_as_written(work: Work, number: int) -> Iterator[str]:
    """A line for each step of a run, and for what follows from them, that is not as it was written."""
    taken: dict[int, list[Row[Any]]] = defaultdict(list)
    for piece in work.connection.execute(_pieces(number, PIECE_TAKEN)):
        taken[piece.step].append(piece)
    before = _begun(work, number)
    for kept, *row in work.connection.execute(_steps(number)):
        step = row[STEP.index("step")]
        if kept != _digest(before, row, taken[step]):
            what = "what the run began with, or step 1," if step == 1 else f"step {step}"
            yield f"{what} is not as it was written"
        before = kept
    kept_seal = work.connection.scalars(select(RUN.c.seal).where(RUN.c.id == number)).one()
    if kept_seal != _seal(work, number, before):
        yield "its last steps, its state, who has its tools, or the loans of its pieces are not as they were written"


def _begun(work: Work, number: int) -> str:
    row = work.connection.execute(select(*_columns(RUN, RUN_BEGUN)).where(RUN.c.id == number)).one()
    return _digest("", row)


def _seal(work: Work, number: int, last: str) -> str:
    row = work.connection.execute(select(*_columns(RUN, RUN_NOW)).where(RUN.c.id == number)).one()
    return _digest(last, row, work.connection.execute(_pieces(number, PIECE_NOW)).all())


def _steps(number: int) -> Select[Any]:
    """The steps of a run in order: the digest kept, then what it is of."""
    columns = (RUN_STEP.c.digest, *_columns(RUN_STEP, STEP), ACTION.c.at, ACTION.c.by_name)
    joined = select(*columns).join(ACTION, ACTION.c.id == RUN_STEP.c.action_id)
    return joined.where(RUN_STEP.c.run_id == number).order_by(RUN_STEP.c.step)


def _pieces(number: int, names: Sequence[str]) -> Select[Any]:
    query = select(*_columns(RUN_PIECE, names)).where(RUN_PIECE.c.run_id == number)
    return query.order_by(RUN_PIECE.c.id)


def _columns(table: Table, names: Sequence[str]) -> list[Any]:
    return [table.c[name] for name in names]


def _digest(before: str, row: Sequence[Any], more: Sequence[Sequence[Any]] = ()) -> str:
    text = json.dumps([before, list(row), [list(each) for each in more]], separators=(",", ":"))
    return sha256(text.encode()).hexdigest()
