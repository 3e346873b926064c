"""An upgrade: a copy first, all of it or nothing, and no row lost on the way."""

from __future__ import annotations

import shutil
import stat
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from alembic import command
from alembic.script import ScriptDirectory

from broachplan import places
from broachplan.crib.loans import Loan
from broachplan.errors import StorageError
from broachplan.store import schema
from broachplan.store.check import check
from broachplan.store.engine import WRITES, engine_for
from broachplan.store.location import located, make_file
from broachplan.store.revisions import alembic_config
from broachplan.store.stored_pieces import stored_piece
from broachplan.store.upgrade import UpgradeOutcome, upgrade
from broachplan.store.work import reading
from tests.databases import execute, on_server
from tests.desks.doing import found_piece, receive_piece, send_piece
from tests.desks.machinist.runs.press import begin, crib, first_hub, read, runs_of

DAY = date(2031, 5, 2)
# Rebuilds the table that others refer to: with foreign keys on, it would take their rows with it.
REBUILD = f"""
import sqlalchemy as sa
from alembic import op
revision, down_revision = "next", "{schema.current()}"
def upgrade():
    with op.batch_alter_table("piece") as batch:
        batch.add_column(sa.Column("maker", sa.Text, server_default="", nullable=False))
"""
ORPHANS = f"""
from alembic import op
revision, down_revision = "next", "{schema.current()}"
def upgrade():
    op.execute("DELETE FROM piece WHERE tag = 'R-1'")
"""


def rows(db: str | Path, table: str) -> list[Any]:
    with engine_for(located(str(db))).connect() as connection:
        return [tuple(row) for row in connection.exec_driver_sql(f"SELECT * FROM {table} ORDER BY 1")]


def as_wide_as(found: list[Any], before: list[Any]) -> list[Any]:
    """Rows without the columns that later revisions put behind those they had, of which nothing is known."""
    cut = [row[: len(old)] for row, old in zip(found, before, strict=True)]
    assert not any(value for row, old in zip(found, before, strict=True) for value in row[len(old) :])
    return cut


@pytest.fixture
def revisions(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The migrations with room for one more, of which the program knows."""
    folder = tmp_path / "migrations % here"
    shutil.copytree(places.migrations(), folder)
    monkeypatch.setattr(places, "migrations", lambda: folder)
    monkeypatch.setattr(schema, "REVISIONS", (*schema.REVISIONS, "next"))
    return folder / "versions"


def test_an_absent_crib_is_made(empty: str) -> None:
    done = upgrade(empty, DAY)

    assert (done.outcome, done.revision, done.copy) == (UpgradeOutcome.CREATED, schema.current(), None)
    with reading(empty) as work:
        assert schema.revision_of(work.connection) == schema.current()


def test_a_current_database_is_left_alone_and_no_copy_is_made(filled_file: str) -> None:
    before = Path(filled_file).read_bytes()

    done = upgrade(filled_file, DAY)

    assert (done.outcome, done.copy) == (UpgradeOutcome.CURRENT, None)
    assert Path(filled_file).read_bytes() == before


def test_an_older_database_is_copied_and_then_brought_up(filled_file: str, revisions: Path) -> None:
    (revisions / "2031_05_02_maker.py").write_text(REBUILD)
    figures, before = rows(filled_file, "broach"), rows(filled_file, "piece")

    done = upgrade(filled_file, DAY)

    assert done.outcome is UpgradeOutcome.UPGRADED
    assert done.copy == Path(filled_file).with_name("crib-2031-05-02.db")
    assert rows(done.copy, "piece") == before
    assert rows(filled_file, "piece") == [(*row, "") for row in before]
    assert rows(filled_file, "broach") == figures
    with reading(filled_file) as work:
        assert work.connection.exec_driver_sql("PRAGMA foreign_key_check").all() == []


def test_the_copy_is_its_owners_alone_and_never_takes_the_place_of_another(
    filled_file: str, revisions: Path
) -> None:
    (revisions / "2031_05_02_maker.py").write_text(REBUILD)
    taken = Path(filled_file).with_name("crib-2031-05-02.db")
    taken.write_text("another copy")

    copy = upgrade(filled_file, DAY).copy

    assert taken.read_text() == "another copy"
    assert copy is not None
    assert copy.name == "crib-2031-05-02-2.db"
    assert stat.S_IMODE(copy.stat().st_mode) == 0o600


def test_an_upgrade_that_would_orphan_rows_is_undone(filled_file: str, revisions: Path) -> None:
    (revisions / "2031_05_02_orphans.py").write_text(ORPHANS)
    before, before_it = rows(filled_file, "piece"), schema.REVISIONS[-2]

    with pytest.raises(
        StorageError, match="was not upgraded and is as it was: rows of ring would refer to nothing"
    ):
        upgrade(filled_file, DAY)

    assert rows(filled_file, "piece") == before
    assert rows(filled_file, "alembic_version") == [(before_it,)]


@pytest.mark.parametrize("revision", ["later", "20261124"])
def test_an_unknown_revision_is_not_touched(filled: str, revision: str) -> None:
    execute(filled, f"UPDATE alembic_version SET version_num = '{revision}'")

    with pytest.raises(StorageError, match=f"of revision {revision}, which this broachplan does not know"):
        upgrade(filled, DAY)


def test_a_database_of_something_else_is_not_touched(empty: str) -> None:
    make_file(located(empty))
    execute(empty, "CREATE TABLE recipes (name TEXT)")

    with pytest.raises(StorageError, match="is a database, but not a crib of broachplan"):
        upgrade(empty, DAY)


FIRST = """
INSERT INTO piece (tag, kind, set_name, home, condition, note, measured_with, measured_by, retired, version) VALUES
  ('S-1', 'shim', 'inch set', 'drawer 4', 'fit', 'n', 'micrometer', 'Kim', 0, 3),
  ('S-2', 'shim', '', '', 'worn', '', '', '', 1, 1),
  ('R-1', 'ring', '', '', 'fit', '', '', '', 0, 1);
INSERT INTO shim VALUES (1, 1270000, 6000000, NULL), (2, NULL, NULL, NULL);
INSERT INTO ring VALUES (3, 3000000000, NULL);
INSERT INTO loan (piece_id, to_name, since, returned) VALUES
  (1, 'Kim', '2031-05-01', '2031-05-02'), (1, 'Ann', '2031-05-03', NULL);
INSERT INTO hold (piece_id, day, for_what) VALUES (3, '2031-06-01', 'job 12');
INSERT INTO setting VALUES ('units', 'mm');
"""


SECOND = f"""{FIRST}
UPDATE loan SET job = '7031', due = '2031-05-09' WHERE to_name = 'Ann';
INSERT INTO action (id, at, by_name, undoes) VALUES
  (1, '2031-05-03T08:00:00Z', 'Jo', NULL), (2, '2031-05-03T08:05:00Z', '', NULL);
INSERT INTO entry (action_id, piece_id, act, note, changes) VALUES
  (1, 1, 'changed', 'put away', '{{"home":["drawer 3","drawer 4"]}}'),
  (2, 1, 'lent', '', '{{"lent_to":[null,"Ann"],"since":[null,"2031-05-03"],"due":[null,"2031-05-09"],"job":[null,"7031"]}}');
"""


def make_older(db: str, revision: str, script: str) -> None:
    """A crib of an older revision, filled."""
    location = located(db)
    make_file(location)
    engine = engine_for(location)
    with engine.connect() as connection:
        config = alembic_config()
        config.attributes["connection"] = connection.execution_options(**{WRITES: True})
        command.upgrade(config, revision)
    execute(db, *script.split(";\n"))
    if on_server() and "INSERT INTO action" in script:
        # The script numbers its acts itself; a server counts on from what it gave.
        execute(db, "SELECT setval(pg_get_serial_sequence('action', 'id'), max(id)) FROM action")


def test_a_filled_crib_of_the_first_revision_loses_nothing_and_is_in_order(empty: str) -> None:
    make_older(empty, "20261124a", FIRST)
    tables = ("shim", "ring", "hold", "setting")
    before, pieces, loans = (
        {table: rows(empty, table) for table in tables},
        rows(empty, "piece"),
        rows(empty, "loan"),
    )

    done = upgrade(empty, DAY)

    assert done.outcome is UpgradeOutcome.UPGRADED
    assert {table: as_wide_as(rows(empty, table), before[table]) for table in tables} == before
    assert rows(empty, "piece") == [(*piece, None, 0, None) for piece in pieces]
    assert rows(empty, "loan") == [(*loan, "", None, 0, "") for loan in loans]
    assert check(empty) == ()
    with reading(empty) as work:
        assert stored_piece(work, "S-1").status.loan == Loan("Ann", date(2031, 5, 3))


def test_a_filled_crib_of_the_second_revision_keeps_its_histories(empty: str) -> None:
    make_older(empty, "20261125a", SECOND)
    before = {table: rows(empty, table) for table in ("loan", "action", "entry")}

    done = upgrade(empty, DAY)

    assert done.outcome is UpgradeOutcome.UPGRADED
    assert {table: as_wide_as(rows(empty, table), before[table]) for table in before} == before
    assert check(empty) == ()


THIRD = f"""{SECOND}
UPDATE piece SET missing_since = '2031-05-04' WHERE tag = 'R-1';
UPDATE piece SET made_here = 1 WHERE tag = 'S-1';
INSERT INTO wear (piece_id, cuts, cut_length) VALUES (1, 12, 304800000);
INSERT INTO action (id, at, by_name) VALUES (3, '2031-05-04T09:00:00Z', 'Kim');
INSERT INTO entry (action_id, piece_id, act, note, changes) VALUES
  (3, 1, 'booked', '', '{{"cuts":[null,12],"cut_length":[null,304800000]}}');
INSERT INTO drawer_count (id, home, at, by_name, after_action) VALUES (1, 'drawer 4', '2031-05-04T10:00:00Z', 'Kim', 3);
INSERT INTO count_line (count_id, tag, expected, found, difference, cause) VALUES (1, 'S-1', 1, 1, '', '')
"""


OF_THE_THIRD = (
    "shim",
    "ring",
    "loan",
    "hold",
    "setting",
    "action",
    "entry",
    "wear",
    "drawer_count",
    "count_line",
)


def test_a_filled_crib_of_the_third_revision_keeps_wear_and_counts_and_knows_of_no_piece_how_well(
    empty: str,
) -> None:
    make_older(empty, "20261125b", THIRD)
    before, pieces = {table: rows(empty, table) for table in OF_THE_THIRD}, rows(empty, "piece")

    done = upgrade(empty, DAY)

    assert done.outcome is UpgradeOutcome.UPGRADED
    assert {table: as_wide_as(rows(empty, table), before[table]) for table in OF_THE_THIRD} == before
    assert rows(empty, "piece") == [(*piece, None) for piece in pieces]
    assert check(empty) == ()


FOURTH = f"""{THIRD};
UPDATE piece SET measured_to = 2540 WHERE tag = 'S-1'
"""


def test_a_filled_crib_of_the_fourth_revision_keeps_all_and_has_no_runs(empty: str) -> None:
    make_older(empty, "20261128a", FOURTH)
    tables = (*OF_THE_THIRD, "piece")
    before = {table: rows(empty, table) for table in tables}

    done = upgrade(empty, DAY)

    assert done.outcome is UpgradeOutcome.UPGRADED
    assert {table: as_wide_as(rows(empty, table), before[table]) for table in tables} == before
    assert {table: rows(empty, table) for table in ("run", "run_step", "run_piece")} == {
        "run": [],
        "run_step": [],
        "run_piece": [],
    }
    assert check(empty) == ()


FIFTH = f"""{FOURTH};
INSERT INTO action (id, at, by_name) VALUES (4, '2031-05-05T09:00:00Z', 'Kim');
INSERT INTO run (id, letters, state, why, parked, person, question, quantity, order_of, read_each, press, marks, job, drawing, settings, program)
  VALUES (1, 'ABCD', 'abandoned', '', 0, 'Kim', '{{}}', 1, 'loads', 1, '', '[]', 'J-701', '', '{{}}', '0.1.0');
INSERT INTO run_step (run_id, step, action_id, act, hubs, shims, end_of, way, typed, with_what, doubtful, sure, piece, why, to_do, new_hubs)
  VALUES (1, 1, 4, 'started', '[]', 'null', '', '', '', '', 0, 0, '', '', 'null', 'null')
"""


def test_a_filled_crib_of_the_fifth_revision_keeps_its_runs_and_has_no_jobs(empty: str) -> None:
    make_older(empty, "20261128b", FIFTH)
    tables = (*OF_THE_THIRD, "piece", "run_piece")
    before = {table: rows(empty, table) for table in tables}
    run, step = rows(empty, "run"), rows(empty, "run_step")

    done = upgrade(empty, DAY)

    assert done.outcome is UpgradeOutcome.UPGRADED
    assert {table: as_wide_as(rows(empty, table), before[table]) for table in tables} == before
    # They keep no numbers of their hubs, and what vouches for them is taken of them as they are.
    ((*run_found, counts, seal),), ((*step_found, digest),) = rows(empty, "run"), rows(empty, "run_step")
    assert ([tuple(run_found)], [tuple(step_found)], counts) == (run, step, "")
    assert len(seal) == len(digest) == 64
    assert (rows(empty, "job"), rows(empty, "job_entry")) == ([], [])


def test_a_run_of_every_earlier_revision_is_vouched_for_listed_and_continued(db: str) -> None:
    begin(crib(db), hubs="2")
    first_hub(db)
    listed = runs_of(db)

    for revision in earlier_since("20261128c"):
        to_revision(db, revision)
        assert upgrade(db, DAY).outcome is UpgradeOutcome.UPGRADED
        assert (check(db), runs_of(db)) == ((), listed)

    read(db, "28.1 mm", through="4")
    assert (check(db), runs_of(db)[0].hubs.done) == ((), 2)


def to_revision(db: str, revision: str) -> None:
    """Take a crib down to an older revision."""
    with engine_for(located(db)).connect() as connection:
        config = alembic_config()
        config.attributes["connection"] = connection.execution_options(**{WRITES: True})
        command.downgrade(config, revision)


SIXTH = f"""{FOURTH};
INSERT INTO action (id, at, by_name) VALUES (4, '2031-05-05T09:00:00Z', 'Ann');
INSERT INTO job (number, key, state, due, quantity, days, priority, after, drawing, note, question, pieces, held)
  VALUES ('J-1', 'j-1', 'coming', '2031-05-28', 1, 1, 5, '', '', '', '{{}}', '[]', '[]');
INSERT INTO job_entry (action_id, number, act, changes) VALUES
  (4, 'J-1', 'added', '{{"number":[null,"J-1"],"state":[null,"coming"],"due":[null,"2031-05-28"],"quantity":[null,1],"days":[null,1],"priority":[null,5]}}');
UPDATE drawer_count SET after_action = 4
"""


def earlier_since(first: str) -> list[str]:
    """The revisions from ``first`` on that came before the current one, the latest first."""
    _, *earlier = ScriptDirectory.from_config(alembic_config()).walk_revisions(first, "head")
    return [each.revision for each in earlier]


@pytest.mark.parametrize("revision", earlier_since("20261128c"))
def test_a_filled_crib_of_every_revision_that_knew_jobs_keeps_all(empty: str, revision: str) -> None:
    make_older(empty, revision, SIXTH)
    tables = (*OF_THE_THIRD, "piece", "job", "job_entry")
    before = {table: rows(empty, table) for table in tables}

    done = upgrade(empty, DAY)

    assert done.outcome is UpgradeOutcome.UPGRADED
    assert {table: as_wide_as(rows(empty, table), before[table]) for table in tables} == before
    assert check(empty) == ()


def test_a_filled_crib_from_before_pieces_were_sent_out_keeps_all_and_takes_the_new_acts(empty: str) -> None:
    make_older(empty, "20261129c", FOURTH)
    tables = (*OF_THE_THIRD, "piece")
    before = {table: rows(empty, table) for table in tables}

    done = upgrade(empty, DAY)

    assert done.outcome is UpgradeOutcome.UPGRADED
    assert {table: as_wide_as(rows(empty, table), before[table]) for table in tables} == before
    assert check(empty) == ()
    found_piece(empty, "R-1")
    send_piece(empty, "R-1", "Northside", anyway=True)
    receive_piece(empty, "R-1")
    assert check(empty) == ()
    # The older program would take what was sent for lent, and its history would lead elsewhere.
    with pytest.raises(ValueError, match="the crib has acts or pieces that the older revision does not know"):
        to_revision(empty, "20261129c")


def test_a_crib_taken_down_below_its_jobs_loses_their_acts_and_refers_to_none_of_them(empty: str) -> None:
    make_older(empty, "20261128c", SIXTH)
    to_revision(empty, "20261128b")

    assert [row[0] for row in rows(empty, "action")] == [1, 2, 3]
    assert upgrade(empty, DAY).outcome is UpgradeOutcome.UPGRADED
    assert check(empty) == ()


def test_a_crib_taken_down_a_revision_shows_its_newer_acts_as_changes(empty: str) -> None:
    make_older(empty, "20261125b", SECOND)
    execute(
        empty,
        "INSERT INTO action (id, at, by_name) VALUES (3, '2031-05-04T08:00:00Z', '')",
        "INSERT INTO entry (action_id, piece_id, act, note, changes) VALUES (3, 3, 'held', '', '{}')",
    )
    to_revision(empty, "20261125a")

    assert [row[3] for row in rows(empty, "entry")] == ["changed", "lent", "changed"]
    assert [row[:2] for row in rows(empty, "piece")] == [(1, "S-1"), (2, "S-2"), (3, "R-1")]
