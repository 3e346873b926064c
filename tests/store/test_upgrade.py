"""An upgrade: a copy first, all of it or nothing, and no row lost on the way."""

from __future__ import annotations

import shutil
import sqlite3
import stat
from contextlib import closing
from datetime import date
from pathlib import Path

import pytest

from broachplan import places
from broachplan.errors import StorageError
from broachplan.store import schema
from broachplan.store.upgrade import Outcome, upgrade
from broachplan.store.work import reading

DAY = date(2031, 5, 2)
# Rebuilds the table that others refer to: with foreign keys on, it would take their rows with it.
REBUILD = """
import sqlalchemy as sa
from alembic import op
revision, down_revision = "next", "20261124a"
def upgrade():
    with op.batch_alter_table("piece") as batch:
        batch.add_column(sa.Column("maker", sa.Text, server_default="", nullable=False))
"""
ORPHANS = """
from alembic import op
revision, down_revision = "next", "20261124a"
def upgrade():
    op.execute("DELETE FROM piece WHERE tag = 'R-1'")
"""


def rows(db: str | Path, table: str) -> list[object]:
    with closing(sqlite3.connect(db)) as connection:
        return connection.execute(f"SELECT * FROM {table}").fetchall()


@pytest.fixture
def revisions(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The migrations with room for one more, of which the program knows."""
    folder = tmp_path / "migrations % here"
    shutil.copytree(places.migrations(), folder)
    monkeypatch.setattr(places, "migrations", lambda: folder)
    monkeypatch.setattr(schema, "REVISIONS", (*schema.REVISIONS, "next"))
    return folder / "versions"


def test_an_absent_file_is_made(db: str) -> None:
    done = upgrade(db, DAY)

    assert (done.outcome, done.revision, done.copy) == (Outcome.CREATED, schema.current(), None)
    with reading(db) as work:
        assert schema.revision_of(work.connection) == schema.current()


def test_a_current_database_is_left_alone_and_no_copy_is_made(filled: str) -> None:
    before = Path(filled).read_bytes()

    done = upgrade(filled, DAY)

    assert (done.outcome, done.copy) == (Outcome.CURRENT, None)
    assert Path(filled).read_bytes() == before


def test_an_older_database_is_copied_and_then_brought_up(filled: str, revisions: Path) -> None:
    (revisions / "2031_05_02_maker.py").write_text(REBUILD)
    figures, before = rows(filled, "broach"), rows(filled, "piece")

    done = upgrade(filled, DAY)

    assert done.outcome is Outcome.UPGRADED
    assert done.copy == Path(filled).with_name("crib-2031-05-02.db")
    assert rows(done.copy, "piece") == before
    assert rows(filled, "piece") == [(*row, "") for row in before]
    assert rows(filled, "broach") == figures
    with reading(filled) as work:
        assert work.connection.exec_driver_sql("PRAGMA foreign_key_check").all() == []


def test_the_copy_is_its_owners_alone_and_never_takes_the_place_of_another(
    filled: str, revisions: Path
) -> None:
    (revisions / "2031_05_02_maker.py").write_text(REBUILD)
    taken = Path(filled).with_name("crib-2031-05-02.db")
    taken.write_text("another copy")

    copy = upgrade(filled, DAY).copy

    assert taken.read_text() == "another copy"
    assert copy is not None
    assert copy.name == "crib-2031-05-02-2.db"
    assert stat.S_IMODE(copy.stat().st_mode) == 0o600


def test_an_upgrade_that_would_orphan_rows_is_undone(filled: str, revisions: Path) -> None:
    (revisions / "2031_05_02_orphans.py").write_text(ORPHANS)
    before = rows(filled, "piece")

    with pytest.raises(
        StorageError, match="was not upgraded and is as it was: rows of ring would refer to nothing"
    ):
        upgrade(filled, DAY)

    assert rows(filled, "piece") == before
    assert rows(filled, "alembic_version") == [("20261124a",)]


@pytest.mark.parametrize("revision", ["later", "20261124"])
def test_an_unknown_revision_is_not_touched(filled: str, revision: str) -> None:
    with closing(sqlite3.connect(filled)) as connection, connection:
        connection.execute("UPDATE alembic_version SET version_num = ?", (revision,))

    with pytest.raises(StorageError, match=f"of revision {revision}, which this broachplan does not know"):
        upgrade(filled, DAY)


def test_a_database_of_something_else_is_not_touched(db: str) -> None:
    with closing(sqlite3.connect(db)) as connection:
        connection.execute("CREATE TABLE recipes (name TEXT)")

    with pytest.raises(StorageError, match="is a database, but not a crib of broachplan"):
        upgrade(db, DAY)
