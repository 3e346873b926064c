"""A server's crib in a backup: of one moment, back in one step with the old tables kept, into a file and out of one."""

from __future__ import annotations

import shutil
import stat
import threading
from collections.abc import Callable, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

import psycopg
import pytest

from broachplan import places
from broachplan.errors import StorageError
from broachplan.store import engine, image, schema, server_restore
from broachplan.store.backup import Backup, back_up, packed, read_backup
from broachplan.store.check import check
from broachplan.store.restore import restore
from broachplan.store.upgrade import UpgradeOutcome, upgrade
from broachplan.tooling.figures import Kind
from tests import databases
from tests.databases import contents, execute, name_in, url_of
from tests.desks.doing import add_piece, lend_piece
from tests.desks.looking import list_pieces
from tests.store.cribs import small_crib

pytestmark = pytest.mark.usefixtures("server")
DAY = date(2031, 5, 2)
NOW = datetime(2031, 5, 2, 9, 30, tzinfo=UTC)
NEXT = f"""
import sqlalchemy as sa
from alembic import op
revision, down_revision = "next", "{schema.current()}"
def upgrade():
    op.add_column("piece", sa.Column("maker", sa.Text, server_default="", nullable=False))
"""


@pytest.fixture
def kept(filled: str, tmp_path: Path) -> Path:
    """A backup of `filled`, in which one piece was lent before."""
    lend_piece(filled, "B-250", "Kim", at=NOW)
    back_up(filled, tmp_path / "crib.backup", DAY)
    return tmp_path / "crib.backup"


def ask(db: str, sql: str) -> list[tuple[Any, ...]]:
    return databases.ask(sql, database=name_in(db))


def test_a_restored_crib_equals_what_was_backed_up_and_the_newer_tables_are_kept(
    filled: str, kept: Path
) -> None:
    before = contents(filled)
    add_piece(filled, Kind.SHIM, "S-7", {}, at=NOW)

    first, second = restore(filled, kept, DAY), restore(filled, kept, DAY)

    assert (first.current, first.made, first.kept) == (True, DAY, None)
    assert [first.aside, second.aside] == ["crib_2031_05_02", "crib_2031_05_02_2"]
    assert ask(filled, f"SELECT count(*) FROM {first.aside}.piece WHERE tag = 'S-7'") == [(1,)]
    assert ask(filled, f"SELECT * FROM {first.aside}.alembic_version") == [(schema.current(),)]
    assert contents(filled) == before
    assert check(filled) == ()
    add_piece(filled, Kind.SHIM, "S-8", {}, at=NOW)
    assert check(filled) == ()


def test_a_backup_goes_from_a_server_into_a_file_and_back_under_any_name(
    filled: str, empty: str, kept: Path, tmp_path: Path
) -> None:
    file = str(tmp_path / "other.db")

    assert restore(file, kept, DAY).kept is None
    back_up(file, tmp_path / "from_file.backup", DAY)
    done = restore(empty, tmp_path / "from_file.backup", DAY)

    assert done.aside == ""
    assert contents(empty) == contents(file) == contents(filled)
    assert (check(file), check(empty)) == ((), ())


def test_a_backup_is_of_one_moment_while_others_write(
    filled: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before, copy_rows = contents(filled), image.copy_rows

    def copy_slowly(source: Any, target: Any, tables: Sequence[Any]) -> None:
        for table in tables:
            lend_piece(filled, small_crib()[0].piece.tag, "Kim", at=NOW) if table.name == "piece" else None
            copy_rows(source, target, [table])

    monkeypatch.setattr(image, "copy_rows", copy_slowly)
    back_up(filled, tmp_path / "crib.backup", DAY)

    assert contents(filled) != before
    restore(str(tmp_path / "then.db"), tmp_path / "crib.backup", DAY)
    assert contents(str(tmp_path / "then.db")) == before


def test_a_backup_that_differs_from_the_server_when_read_back_gets_no_name(
    filled: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    copy_rows = image.copy_rows

    def copy_some(source: Any, target: Any, tables: Sequence[Any]) -> None:
        copy_rows(source, target, [table for table in tables if table.name != "shim"])

    monkeypatch.setattr(image, "copy_rows", copy_some)

    with pytest.raises(
        StorageError, match=r"cannot be backed up: the rows of shim that were read back are not"
    ):
        back_up(filled, tmp_path / "crib.backup", DAY)

    assert list(tmp_path.iterdir()) == []


def test_a_crib_with_a_row_that_cannot_be_is_backed_up_and_not_restored_on_a_server(
    filled: str, tmp_path: Path
) -> None:
    execute(filled, "ALTER TABLE shim DROP CONSTRAINT ck_shim_width_positive", "UPDATE shim SET width = -1")
    back_up(filled, tmp_path / "crib.backup", DAY)
    before = contents(filled)

    with pytest.raises(
        StorageError, match=r"fails its check \(rule: row \d of shim breaks the rule width > 0"
    ):
        restore(filled, tmp_path / "crib.backup", DAY)

    assert contents(filled) == before
    assert ask(filled, "SELECT nspname FROM pg_namespace WHERE nspname LIKE 'crib%'") == []


@pytest.mark.parametrize("place", [0, 30, 90, -1])
def test_a_flipped_bit_is_refused_and_nothing_is_touched(filled: str, kept: Path, place: int) -> None:
    before = contents(filled)
    data = bytearray(kept.read_bytes())
    data[place] ^= 4
    kept.write_bytes(data)

    with pytest.raises(StorageError, match="damaged"):
        restore(filled, kept, DAY)

    assert contents(filled) == before


def test_who_may_do_what_is_the_same_after_a_restore(filled: str, kept: Path) -> None:
    looker = f"looker_{name_in(filled)}"
    databases.ask(f"CREATE ROLE {looker} LOGIN")
    for grant in ("SELECT ON ALL TABLES", "USAGE ON ALL SEQUENCES"):
        databases.ask(
            f"GRANT {grant} IN SCHEMA public TO {looker}", database=name_in(filled), user="toolroom"
        )
    rights = "SELECT relname, relacl FROM pg_class WHERE relnamespace = 'public'::regnamespace AND relkind IN ('r', 'S') ORDER BY 1"
    owners = "SELECT tablename, tableowner FROM pg_tables WHERE schemaname = 'public' ORDER BY 1"
    before = ask(filled, rights), ask(filled, owners)

    restore(url_of(name_in(filled), "postgres"), kept, DAY)

    assert (ask(filled, rights), ask(filled, owners)) == before
    ask(filled, f"DROP OWNED BY {looker}")
    databases.ask(f"DROP ROLE {looker}")


def test_a_crib_that_others_use_is_not_restored(
    filled: str, kept: Path, server: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(engine, "BUSY_SECONDS", 0.05)
    with psycopg.connect(host=server, dbname=name_in(filled), user="toolroom") as other:
        other.execute("SELECT * FROM alembic_version")
        with pytest.raises(StorageError, match=r"another program is writing to it; try again$"):
            restore(filled, kept, DAY)

    assert restore(filled, kept, DAY).aside == "crib_2031_05_02"


def test_whoever_comes_while_a_restore_runs_waits_for_it_and_finds_the_restored_crib(
    filled: str, kept: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before, check_copied, begun = contents(filled), image.check_copied, threading.Event()
    add_piece(filled, Kind.SHIM, "S-7", {}, at=NOW)
    others: list[Callable[[], Any]] = [
        lambda: check(filled),
        lambda: back_up(filled, tmp_path / "meanwhile.backup", DAY).findings,
        lambda: len(list_pieces(filled).pieces),
        lambda: add_piece(filled, Kind.SHIM, "S-8", {}, at=NOW) and None,
    ]
    waiting = f"SELECT count(*) FROM pg_stat_activity WHERE wait_event_type = 'Lock' AND datname = '{name_in(filled)}'"

    def copy_and_wait(*about: Any) -> None:
        check_copied(*about)
        begun.set()
        while databases.ask(waiting) != [(len(others),)]:
            assert not any(other.done() for other in come), [
                other.exception() for other in come if other.done()
            ]

    monkeypatch.setattr(server_restore, "check_copied", copy_and_wait)
    come: list[Future[Any]] = []
    with ThreadPoolExecutor(len(others) + 1) as threads:
        restored = threads.submit(restore, filled, kept, DAY)
        assert begun.wait(60)
        come += [threads.submit(other) for other in others]

        assert restored.result().aside == "crib_2031_05_02"
        assert [other.result() for other in come] == [(), (), len(small_crib()), None]
    restore(str(tmp_path / "then.db"), tmp_path / "meanwhile.backup", DAY)
    assert contents(str(tmp_path / "then.db")) == before


def test_a_restore_that_is_cut_short_leaves_the_crib_as_it_was(
    filled: str, kept: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before, check_copied = contents(filled), image.check_copied

    def lose_the_server(*about: Any) -> None:
        check_copied(*about)
        databases.ask(
            "SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE pid <> pg_backend_pid() "
            f"AND datname = '{name_in(filled)}'"
        )

    monkeypatch.setattr(server_restore, "check_copied", lose_the_server)
    with pytest.raises(StorageError, match=r"nothing was changed, try again|is as it was"):
        restore(filled, kept, DAY)

    assert contents(filled) == before
    assert ask(filled, "SELECT nspname FROM pg_namespace WHERE nspname LIKE 'crib%'") == []


def test_a_database_of_something_else_or_of_later_is_not_restored_over(
    filled: str, empty: str, kept: Path
) -> None:
    execute(empty, "CREATE TABLE recipes (name TEXT)")
    with pytest.raises(StorageError, match="is a database, but not a crib of broachplan"):
        restore(empty, kept, DAY)

    execute(filled, "UPDATE alembic_version SET version_num = 'later'")
    with pytest.raises(StorageError, match="is of revision later, which this broachplan does not know"):
        restore(filled, kept, DAY)
    with pytest.raises(StorageError, match="is of revision later, which this broachplan does not know"):
        back_up(filled, kept.with_name("second"), DAY)


def test_an_account_that_may_not_put_the_old_tables_aside_sees_which_right_it_lacks(
    filled: str, kept: Path
) -> None:
    name = name_in(filled)
    databases.ask(f"CREATE ROLE helper_{name} LOGIN PASSWORD 'x' IN ROLE pg_read_all_data, pg_write_all_data")
    helper = url_of(name, f"helper_{name}", "x")
    try:
        with pytest.raises(StorageError, match=rf"the account “helper_{name}” lacks CREATE on the database"):
            restore(helper, kept, DAY)
        databases.ask(f"GRANT CREATE ON DATABASE {name} TO helper_{name}")
        with pytest.raises(StorageError, match=r"lacks what only the owner of the tables may do"):
            restore(helper, kept, DAY)
    finally:
        databases.ask(f"DROP OWNED BY helper_{name}", database=name)
        databases.ask(f"DROP ROLE helper_{name}")


def test_an_older_revision_is_brought_up_to_date_on_its_way_to_a_server(empty: str, tmp_path: Path) -> None:
    with image.opened(image.blank_image("20261124a")) as memory:
        memory.exec_driver_sql(
            "INSERT INTO piece (tag, kind, set_name, home, condition, note, measured_with, measured_by) "
            "VALUES ('R-1', 'ring', '', '', 'fit', '', '', '')"
        )
        memory.exec_driver_sql("INSERT INTO ring VALUES (1, 3000000000, NULL)")
        memory.commit()
        content = memory.connection.driver_connection.serialize()  # type: ignore[union-attr]
    (tmp_path / "old.backup").write_bytes(packed(Backup("20261124a", DAY, content)))

    done = restore(empty, tmp_path / "old.backup", DAY)

    assert (done.revision, done.current) == (schema.current(), True)
    assert contents(empty)["ring"] == [(1, 3_000_000_000, None)]
    assert check(empty) == ()


@pytest.fixture
def revisions(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The migrations with room for one more, of which the program knows."""
    shutil.copytree(places.migrations(), tmp_path / "migrations")
    monkeypatch.setattr(places, "migrations", lambda: tmp_path / "migrations")
    monkeypatch.setattr(schema, "REVISIONS", (*schema.REVISIONS, "next"))
    return tmp_path / "migrations" / "versions"


def test_an_upgrade_makes_a_backup_first_in_the_data_folder(filled: str, revisions: Path) -> None:
    (revisions / "2031_05_02_next.py").write_text(NEXT)
    before = contents(filled)

    done = upgrade(filled, DAY)

    copy = places.user_folder() / f"{name_in(filled)}-2031-05-02.backup"
    assert (done.outcome, done.copy) == (UpgradeOutcome.UPGRADED, copy)
    assert stat.S_IMODE(copy.stat().st_mode) == 0o600
    assert stat.S_IMODE(copy.parent.stat().st_mode) == 0o700
    assert ask(filled, "SELECT DISTINCT maker FROM piece") == [("",)]
    (copy.parent / "copy.db").write_bytes(read_backup(copy).content)
    assert contents(str(copy.parent / "copy.db")) == before


def test_an_upgrade_that_fails_leaves_the_crib_as_it_was(filled: str, revisions: Path) -> None:
    (revisions / "2031_05_02_next.py").write_text(NEXT + '    op.execute("DELETE FROM piece")\n')
    before = contents(filled)

    with pytest.raises(StorageError, match=r"cannot be used: .*violates foreign key constraint"):
        upgrade(filled, DAY)

    assert contents(filled) == before
    assert ask(filled, "SELECT version_num FROM alembic_version") == [(schema.REVISIONS[-2],)]
