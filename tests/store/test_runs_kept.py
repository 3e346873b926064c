"""Runs are kept as all else: a backup carries them, into either kind of database, and one step has one number."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from sqlalchemy import select

from broachplan.crib.entries import Stamp
from broachplan.errors import CribStateError
from broachplan.runs.state import Status
from broachplan.runs.steps import RunAct
from broachplan.store.backup import back_up
from broachplan.store.check import check
from broachplan.store.restore import restore
from broachplan.store.run_rows import RUN_ACTS, STATES
from broachplan.store.runs import add_step, load_run
from broachplan.store.tables import ACTION
from broachplan.store.work import reading, writing
from tests.databases import contents
from tests.desks.machinist.runs.press import NOW, begin, crib, first_hub, look_at, parked, pushed, resumed

DAY = date(2031, 5, 3)


def test_the_acts_and_states_that_the_database_knows_are_those_of_a_run() -> None:
    assert tuple(act.value for act in RunAct) == RUN_ACTS
    assert tuple(status.value for status in Status) == STATES


def test_a_backup_carries_runs_into_a_file_and_back_and_they_go_on(db: str, tmp_path: Path) -> None:
    begin(crib(db), hubs="2", marks="Ä 1,B 2", job="J-701")
    first_hub(db)
    parked(db)
    before, other = look_at(db, "1"), str(tmp_path / "other.db")

    back_up(db, tmp_path / "a", DAY)
    restore(other, tmp_path / "a", DAY)
    assert check(other) == ()
    assert look_at(other, "1") == before
    resumed(other, by="Ann")
    pushed(other, through="4")
    back_up(other, tmp_path / "b", DAY)
    restore(db, tmp_path / "b", DAY)

    assert contents(db) == contents(other)
    assert len(look_at(db, "1").state.steps) == len(before.state.steps) + 5
    assert check(db) == ()


def test_two_steps_with_one_number_are_stopped_by_the_database_itself(db: str) -> None:
    begin(crib(db))
    pushed(db, by="Ann")
    with reading(db) as work:
        stored = load_run(work, 1)
        actions = work.connection.scalars(select(ACTION.c.id)).all()
    assert stored is not None

    with (
        pytest.raises(CribStateError, match=r"run 1 is at step 2 \(pushed by Ann\), not at step 1"),
        writing(db) as work,
    ):
        add_step(work, 1, replace(stored.steps[1], pieces=()), Stamp(NOW, "Jo"))

    with reading(db) as work:
        assert work.connection.scalars(select(ACTION.c.id)).all() == actions
