"""A crib put back: equal to what it was, with what was there kept, and never for a moment missing."""

from __future__ import annotations

import errno
import os
import sqlite3
import stat
from contextlib import closing
from datetime import date
from pathlib import Path

import pytest

from broachplan.errors import InputError, StorageError
from broachplan.store import restore as restoring
from broachplan.store.backup import Backup, back_up, packed, read_backup
from broachplan.store.check import check
from broachplan.store.restore import restore
from broachplan.store.work import reading, writing
from tests.store.test_backup import beside, contents, umask

DAY = date(2031, 5, 2)
ASIDE = "crib-2031-05-02.db"


@pytest.fixture
def kept(filled_file: str, tmp_path: Path) -> Path:
    """A backup of `filled_file`, from which every piece of the crib has gone since to another drawer."""
    file = tmp_path / "a backup"
    back_up(filled_file, file, date(2031, 5, 1))
    move(filled_file)
    return file


def move(db: str) -> None:
    with writing(db) as work:
        work.connection.exec_driver_sql("UPDATE piece SET home = 'drawer 9'")
        work.commit()


def held(file: Path) -> list[str]:
    """What a backup holds, as SQL."""
    with closing(sqlite3.connect(":memory:")) as connection:
        connection.deserialize(read_backup(file).content)
        return list(connection.iterdump())


def test_a_restored_crib_equals_what_was_backed_up_and_the_newer_data_is_kept(
    filled_file: str, kept: Path
) -> None:
    newer = contents(filled_file)

    done = restore(filled_file, kept, DAY)

    assert contents(filled_file) == held(kept)
    assert check(filled_file) == ()
    assert done.kept == Path(filled_file).with_name(ASIDE)
    assert contents(done.kept) == newer
    assert (done.current, done.made) == (True, date(2031, 5, 1))
    assert beside(kept) == sorted(["a backup", "crib.db", ASIDE])


def test_a_backup_can_be_restored_where_there_is_no_crib_and_under_another_name(
    filled_file: str, kept: Path
) -> None:
    moved = kept.rename(kept.with_name("renamed.bin"))
    other = str(moved.with_name("other.db"))

    done = restore(other, moved, DAY)

    assert done.kept is None
    assert contents(other) == held(moved)
    assert check(other) == ()
    assert contents(filled_file) != contents(other)


def test_data_kept_before_is_not_lost_to_what_is_kept_now(filled_file: str, kept: Path) -> None:
    first = restore(filled_file, kept, DAY).kept
    second = restore(filled_file, kept, DAY).kept

    assert first is not None
    assert second is not None
    assert second.name == "crib-2031-05-02-2.db"
    assert contents(first) != contents(second) == held(kept)


def test_a_damaged_backup_is_refused_and_nothing_is_touched(filled_file: str, kept: Path) -> None:
    data = bytearray(kept.read_bytes())
    data[5000] ^= 1
    kept.write_bytes(data)
    before, names = Path(filled_file).read_bytes(), beside(kept)

    with pytest.raises(StorageError, match="is damaged: it is not what was written; use another backup"):
        restore(filled_file, kept, DAY)

    assert Path(filled_file).read_bytes() == before
    assert beside(kept) == names


def test_a_later_revision_is_refused_and_nothing_is_touched(filled_file: str, kept: Path) -> None:
    with closing(sqlite3.connect(":memory:")) as connection:
        connection.deserialize(read_backup(kept).content)
        connection.execute("UPDATE alembic_version SET version_num = 'later'")
        connection.commit()
        kept.write_bytes(packed(Backup("later", DAY, connection.serialize())))
    before = contents(filled_file)

    with pytest.raises(StorageError, match="of revision later, which this broachplan does not know"):
        restore(filled_file, kept, DAY)

    assert contents(filled_file) == before


@pytest.mark.parametrize("mask", [0, 0o077])
def test_a_restored_crib_is_its_owners_alone_under_every_umask(
    filled_file: str, kept: Path, mask: int
) -> None:
    with umask(mask):
        restore(filled_file, kept, DAY)

    assert stat.S_IMODE(Path(filled_file).stat().st_mode) == 0o600


@pytest.mark.parametrize("content", [b"", b"tag,web\n" * 1000, b"SQLite format 3\0" + b"\xff" * 9000])
def test_a_crib_past_reading_is_kept_and_replaced(filled_file: str, kept: Path, content: bytes) -> None:
    Path(filled_file).write_bytes(content)
    Path(f"{filled_file}-journal").write_bytes(b"left over")

    done = restore(filled_file, kept, DAY)

    assert contents(filled_file) == held(kept)
    assert done.kept is not None
    assert done.kept.read_bytes() == content
    assert not Path(f"{filled_file}-journal").exists()


def log_of(db: str) -> bytes:
    """The write-ahead log of someone who changed the crib and was killed."""
    with closing(sqlite3.connect(db, isolation_level=None)) as other:
        other.execute("PRAGMA journal_mode = WAL")
        other.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        other.execute("UPDATE piece SET home = 'lost'")
        return Path(f"{db}-wal").read_bytes()


def test_a_write_ahead_log_of_a_crib_past_reading_is_kept_with_it_and_not_taken_for_the_restored(
    filled_file: str, kept: Path
) -> None:
    """SQLite plays such a log into whatever file has the crib's name, also into one that keeps none itself."""
    log = log_of(filled_file)
    Path(filled_file).write_bytes(b"\xff" * 9000)
    Path(f"{filled_file}-wal").write_bytes(log)

    done = restore(filled_file, kept, DAY)

    assert contents(filled_file) == held(kept)
    assert check(filled_file) == ()
    assert done.kept is not None
    assert (done.kept.read_bytes(), Path(f"{done.kept}-wal").read_bytes()) == (b"\xff" * 9000, log)


def test_a_write_ahead_log_of_a_crib_that_is_gone_is_not_taken_for_the_restored(
    filled_file: str, kept: Path
) -> None:
    log = log_of(filled_file)
    Path(filled_file).unlink()
    Path(f"{filled_file}-wal").write_bytes(log)

    restore(filled_file, kept, DAY)

    assert contents(filled_file) == held(kept)


def test_a_write_cut_short_in_the_old_data_does_not_reach_the_restored(filled_file: str, kept: Path) -> None:
    """The journal of a killed writer lies beside the crib; it is the old data's, and is undone there."""
    newer = contents(filled_file)
    with closing(sqlite3.connect(filled_file, isolation_level=None)) as other:
        other.execute("PRAGMA cache_size = 1")
        other.execute("BEGIN IMMEDIATE")
        other.execute("UPDATE piece SET note = hex(zeroblob(90))")
        other.execute("CREATE TABLE filler AS SELECT hex(zeroblob(9000)) AS x FROM piece, piece AS again")
        half, journal = Path(filled_file).read_bytes(), Path(f"{filled_file}-journal").read_bytes()
        other.execute("ROLLBACK")
    Path(filled_file).write_bytes(half)
    Path(f"{filled_file}-journal").write_bytes(journal)

    done = restore(filled_file, kept, DAY)

    assert contents(filled_file) == held(kept)
    assert done.kept is not None
    assert contents(done.kept) == newer


def test_a_crib_that_another_is_writing_to_is_not_restored(
    filled_file: str, kept: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("broachplan.store.engine.BUSY_SECONDS", 0)
    monkeypatch.setattr("broachplan.store.engine._MODES", {"busy_timeout": 0})
    before, names = contents(filled_file), beside(kept)
    with closing(sqlite3.connect(filled_file, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(StorageError, match="another program is writing to it; try again"):
            restore(filled_file, kept, DAY)

    assert contents(filled_file) == before
    assert beside(kept) == names


def test_one_who_had_the_old_data_open_cannot_write_into_what_is_kept(filled_file: str, kept: Path) -> None:
    def meanwhile() -> None:
        with reading(filled_file) as work:
            assert work.connection.exec_driver_sql("SELECT count(*) FROM piece").scalar() == 6
            restore(filled_file, kept, DAY)
            work.connection.exec_driver_sql("UPDATE piece SET home = 'lost'")

    with pytest.raises(StorageError, match="another file took its place meanwhile, as a restore does"):
        meanwhile()


def test_a_crib_with_a_name_too_long_is_reported(kept: Path) -> None:
    with pytest.raises(StorageError, match="file name too long"):
        restore(str(kept.with_name("x" * 300)), kept, DAY)


def test_a_file_system_without_second_names_keeps_a_copy(
    filled_file: str, kept: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_names: object) -> None:
        raise OSError(errno.EPERM, os.strerror(errno.EPERM))

    newer = contents(filled_file)
    monkeypatch.setattr(os, "link", refuse)

    done = restore(filled_file, kept, DAY)

    assert done.kept is not None
    assert contents(done.kept) == newer
    assert contents(filled_file) == held(kept)


def test_a_crib_behind_a_link_is_restored_where_it_lies(filled_file: str, kept: Path) -> None:
    folder = kept.parent / "disk"
    folder.mkdir()
    Path(filled_file).rename(folder / "real.db")
    Path(filled_file).symlink_to(folder / "real.db")

    done = restore(filled_file, kept, DAY)

    assert Path(filled_file).is_symlink()
    assert contents(folder / "real.db") == held(kept)
    assert done.kept == folder / "real-2031-05-02.db"


def test_what_was_not_read_back_as_written_gets_no_name(
    filled_file: str, kept: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    whole = read_backup(kept)
    before = contents(filled_file)
    monkeypatch.setattr(restoring, "read_backup", lambda _file: whole)
    monkeypatch.setattr(Path, "read_bytes", lambda _file: b"rubbish")

    with pytest.raises(StorageError, match="was not restored: the read-back differs from what was written"):
        restore(filled_file, kept, DAY)

    assert contents(filled_file) == before


def test_the_crib_itself_is_no_backup_and_a_backup_no_place_for_the_crib(
    filled_file: str, kept: Path
) -> None:
    with pytest.raises(StorageError, match="is not a backup of broachplan"):
        restore(filled_file, Path(filled_file), DAY)
    with pytest.raises(InputError, match="is named as the crib and as the backup"):
        restore(str(kept), kept, DAY)

    assert read_backup(kept).made == date(2031, 5, 1)


def test_an_absent_backup_is_reported(filled_file: str, tmp_path: Path) -> None:
    with pytest.raises(InputError, match="there is no such file; name a backup"):
        restore(filled_file, tmp_path / "none", DAY)


def test_a_crib_in_no_folder_is_reported(kept: Path) -> None:
    with pytest.raises(StorageError, match="there is no folder"):
        restore(str(kept.parent / "no" / "crib.db"), kept, DAY)
