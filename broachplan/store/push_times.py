"""When pushes were booked: from the rows of their steps alone, no run is folded."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from sqlalchemy import select

from broachplan.runs.steps import RunAct
from broachplan.store.kept import moment_kept
from broachplan.store.tables import ACTION, RUN_STEP
from broachplan.store.transaction import Work

# The latest show how the shop works now.
_MOST = 500


def pushes_booked(work: Work) -> Sequence[tuple[int, datetime]]:
    """The run and the moment of each of the latest pushes, run by run in the order of its steps."""
    query = (
        select(RUN_STEP.c.run_id, ACTION.c.at)
        .join(ACTION, ACTION.c.id == RUN_STEP.c.action_id)
        .where(RUN_STEP.c.act == RunAct.PUSHED.value)
        .order_by(RUN_STEP.c.run_id.desc(), RUN_STEP.c.step.desc())
        .limit(_MOST)
    )
    rows = work.connection.execute(query).all()
    return [(run, moment_kept(at)) for run, at in reversed(rows)]
