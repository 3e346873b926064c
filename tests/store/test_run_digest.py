"""Whatever changes in the rows of a run behind the program's back, the check finds: every column of every row."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sqlalchemy import Connection, Table, event, select, update
from sqlalchemy.exc import IntegrityError

from broachplan.store.check import check
from broachplan.store.engine import engine_for
from broachplan.store.location import located
from broachplan.store.run_digest import PIECE_NOW, PIECE_TAKEN, RUN_BEGUN, RUN_NOW, STEP
from broachplan.store.runs_check import broken_runs
from broachplan.store.tables import RUN, RUN_PIECE, RUN_STEP
from broachplan.store.transaction import Work
from tests.databases import database, examples
from tests.desks.machinist.runs import press
from tests.ground import emptied

TABLES = (RUN, RUN_STEP, RUN_PIECE)
COLUMNS = [(table, column.name) for table in TABLES for column in table.columns]


def crib_with_runs(db: str) -> str:
    """Two runs with an act of nearly every kind between them, one open and one ended."""
    press.begin(press.crib(db), hubs="2", marks="A,B", job="J-701", drawing="WL-1")
    press.first_hub(db)
    press.pushed(db, shims="none")
    press.measured(db, "G", "web=12.01 mm", with_what="micrometer", by="Ann")
    press.aside(db, 2)
    press.ended(db, broach_condition="fit")
    press.begin(db, material="steel", by="Jo")
    press.pushed(db, "2", through="3")
    press.read(db, "27.21 mm", "2", with_what="gauge 12", sure=True)
    press.corrected(db, 5, "2", measured="27.22 mm")
    press.parked(db, "2")
    press.resumed(db, "2", by="Ann")
    return db


@pytest.fixture(scope="module")
def runs() -> Iterator[str]:
    """A crib that the examples change and put back."""
    with database("new", emptied("runs to be changed") / "crib.db") as db:
        yield crib_with_runs(db)


@contextmanager
def behind_its_back(db: str) -> Iterator[Connection]:
    """A transaction on a crib in which no rule of the database holds, and which leaves nothing behind."""
    with engine_for(located(db)).connect() as connection:
        sqlite = connection.dialect.name == "sqlite"
        if sqlite:
            driver: Any = connection.connection.driver_connection
            driver.execute("PRAGMA foreign_keys = OFF")
            driver.execute("PRAGMA ignore_check_constraints = ON")
        try:
            with connection.begin() as transaction:
                if not sqlite:
                    _without_rules(connection)
                yield connection
                transaction.rollback()
        finally:
            if sqlite:
                driver.execute("PRAGMA ignore_check_constraints = OFF")
                driver.execute("PRAGMA foreign_keys = ON")


def _without_rules(connection: Connection) -> None:
    rules = connection.exec_driver_sql(
        "SELECT conrelid::regclass, conname FROM pg_constraint "
        "WHERE contype IN ('c', 'f') AND conrelid::regclass::text IN ('run', 'run_step', 'run_piece')"
    ).all()
    for table, name in rules:
        connection.exec_driver_sql(f'ALTER TABLE {table} DROP CONSTRAINT "{name}"')


def other(value: Any, column: Any, draw: st.DataObject) -> Any:
    """Another value than a column has, of its type."""
    if column.type.python_type is int:
        number = draw.draw(st.integers(-3, 3).filter(bool) | st.integers(1, 10**6), label="off by")
        return (value or 0) + number
    texts = [
        "",
        "null",
        "[]",
        "{}",
        *([f"{value} ", str(value)[:-1], str(value).swapcase()] if value else []),
    ]
    return draw.draw(st.sampled_from([text for text in texts if text != value]), label="text")


def look_for_a_change(db: str, table: Table, name: str, data: st.DataObject) -> None:
    """Change one value of one row, and see that the check finds it."""
    with behind_its_back(db) as connection:
        ids = connection.scalars(select(table.c.id).order_by(table.c.id)).all()
        row = data.draw(st.sampled_from(ids), label="row")
        value = connection.scalars(select(table.c[name]).where(table.c.id == row)).one()
        changed = other(value, table.c[name], data)
        try:
            with connection.begin_nested():
                connection.execute(update(table).where(table.c.id == row).values({name: changed}))
        except IntegrityError:
            return  # A key that is there already: the database itself refuses it.
        assert list(broken_runs(Work(connection, located(db)))), (value, changed)


@pytest.mark.parametrize(("table", "name"), COLUMNS, ids=lambda one: getattr(one, "name", one))
@settings(max_examples=examples(2))
@given(data=st.data())
def test_a_value_of_a_run_that_is_not_as_it_was_written_is_found(
    runs: str, table: Table, name: str, data: st.DataObject
) -> None:
    look_for_a_change(runs, table, name, data)


@pytest.mark.nightly
@pytest.mark.parametrize(("table", "name"), COLUMNS, ids=lambda one: getattr(one, "name", one))
@settings(max_examples=200)
@given(data=st.data())
def test_any_value_of_a_run_that_is_not_as_it_was_written_is_found(
    runs: str, table: Table, name: str, data: st.DataObject
) -> None:
    look_for_a_change(runs, table, name, data)


def test_every_column_is_vouched_for() -> None:
    for table, names in ((RUN, {*RUN_BEGUN, *RUN_NOW, "seal"}), (RUN_STEP, {*STEP, "digest"})):
        assert {column.name for column in table.columns} == names
    assert {column.name for column in RUN_PIECE.columns} == {*PIECE_TAKEN, *PIECE_NOW}


@pytest.mark.parametrize(
    ("sql", "finding"),
    [
        ("DELETE FROM run_step WHERE run_id = 2 AND step = 8", "its last steps, its state"),
        ("UPDATE run_step SET t = t + 1 WHERE run_id = 2 AND step = 5", "run 2: step 5 is not as it was written"),
        ("UPDATE run SET drawing = 'WL-2' WHERE id = 1", "run 1: what the run began with, or step 1, is not as"),
        ("UPDATE run SET person = 'Jo' WHERE id = 2", "run 2: its last steps, its state, who has its tools"),
        ("UPDATE action SET by_name = 'Jo' WHERE id = (SELECT action_id FROM run_step WHERE run_id = 2 AND step = 6)", "run 2: step 6 is not as it was written"),
    ],
)  # fmt: skip
def test_the_check_names_the_run_and_the_step(runs: str, sql: str, finding: str) -> None:
    with behind_its_back(runs) as connection:
        connection.exec_driver_sql(sql)
        found = list(broken_runs(Work(connection, located(runs))))

    assert any(finding in line for line in found), found
    # One step that is not as it was leaves the others as they were.
    assert sum("is not as it was written" in line for line in found) <= 1


def test_untouched_runs_are_well(runs: str) -> None:
    assert check(runs) == ()


def test_a_list_of_runs_asks_the_crib_no_more_for_many_than_for_one(db: str) -> None:
    press.begin(press.crib(db), hubs="2")
    press.first_hub(db)
    asked: list[str] = []
    engine = engine_for(located(db))

    def queries() -> list[str]:
        asked.clear()
        press.runs_of(db)
        return list(asked)

    @event.listens_for(engine, "before_cursor_execute")
    def note(_c: object, _k: object, statement: str, *_: object) -> None:
        asked.append(statement)

    try:
        one = queries()
        for number in range(1, 5):
            press.ended(db, str(number), abandon=True, why="no more hubs", broach_condition="fit")
            press.begin(db, hubs="2")
        assert queries() == one
    finally:
        event.remove(engine, "before_cursor_execute", note)
    shown = press.runs_of(db)
    assert [(each.number, each.step, each.status.value, each.hubs.done) for each in shown] == [
        (5, 1, "running", 0),
        *((number, 2, "abandoned", 0) for number in (4, 3, 2)),
        (1, 8, "abandoned", 1),
    ]
