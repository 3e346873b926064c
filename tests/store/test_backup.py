"""A backup vouches for every bit of itself and is never left half done."""

from __future__ import annotations

import os
import random
import sqlite3
import stat
from collections.abc import Iterator
from contextlib import closing, contextmanager
from datetime import date
from hashlib import sha256
from pathlib import Path

import pytest

from broachplan.errors import InputError, StorageError
from broachplan.store import backup, schema
from broachplan.store.backup import Backup, back_up, packed, read_backup
from broachplan.store.restore import restore

DAY = date(2031, 5, 2)


@contextmanager
def umask(mask: int) -> Iterator[None]:
    before = os.umask(mask)
    try:
        yield
    finally:
        os.umask(before)


def contents(db: str | Path) -> list[str]:
    """Everything a SQLite file holds, as SQL."""
    with closing(sqlite3.connect(db)) as connection:
        return list(connection.iterdump())


def beside(path: Path) -> list[str]:
    return sorted(each.name for each in path.parent.iterdir())


@pytest.fixture
def kept(filled_file: str, tmp_path: Path) -> Path:
    """A backup of `filled_file`."""
    file = tmp_path / "crib.backup"
    back_up(filled_file, file, DAY)
    return file


def test_a_backup_holds_all_that_the_crib_holds(filled_file: str, kept: Path, tmp_path: Path) -> None:
    held = read_backup(kept)

    (tmp_path / "held.db").write_bytes(held.content)
    assert contents(tmp_path / "held.db") == contents(filled_file)
    assert (held.revision, held.made) == (schema.current(), DAY)
    assert beside(kept) == ["crib.backup", "crib.db", "held.db"]


def test_the_result_names_the_file_and_its_size(filled_file: str, tmp_path: Path) -> None:
    done = back_up(filled_file, tmp_path / "one", DAY)

    assert (done.file, done.size) == (tmp_path / "one", (tmp_path / "one").stat().st_size)
    assert done.revision == schema.current()


def test_a_flipped_bit_anywhere_is_refused(kept: Path) -> None:
    good = kept.read_bytes()
    chance = random.Random(2031)
    header = range(good.index(b"SQLite format"))
    places = [*header, *chance.sample(range(len(header), len(good)), 1000 - len(header))]

    for place in places:
        with kept.open("r+b") as file:
            file.seek(place)
            file.write(bytes([good[place] ^ 1 << chance.randrange(8)]))
        with pytest.raises(StorageError, match="damaged"):
            read_backup(kept)
        with kept.open("r+b") as file:
            file.seek(place)
            file.write(good[place : place + 1])

    assert read_backup(kept).revision == schema.current()


def test_a_backup_cut_short_or_with_more_behind_it_is_refused(kept: Path) -> None:
    good = kept.read_bytes()
    chance = random.Random(2031)
    ends = [*range(200), *(chance.randrange(len(good)) for _ in range(100)), len(good) - 1]

    for changed in (*(good[:end] for end in ends), good + b"\0", good + b"\n", good + good):
        kept.write_bytes(changed)
        with pytest.raises(StorageError, match="damaged"):
            read_backup(kept)


@pytest.mark.parametrize(
    ("rest", "message"),
    [
        (b"", "can read$"),
        (b"[]\n", "can read$"),
        (b'{"revision": "r", "made": "yesterday", "bytes": 0}\n', "can read$"),
        (b'{"revision": "r", "made": "2031-05-02", "bytes": 1}\n', "its length is wrong"),
        (b'{"revision": "r", "made": "2031-05-02", "bytes": 0}\n', "its length is wrong"),
        (b'{"revision": "r", "made": "2031-05-02", "bytes": 5}\ncrib!', "holds no crib that can be used"),
    ],
)
def test_a_backup_that_vouches_for_nonsense_is_refused(kept: Path, rest: bytes, message: str) -> None:
    form = kept.read_bytes().split(b"\n")[0]
    kept.write_bytes(form + b"\n" + sha256(rest).hexdigest().encode() + b"\n" + rest)

    with pytest.raises(StorageError, match=message):
        read_backup(kept)


def test_a_backup_whose_line_of_facts_nests_brackets_without_end_is_refused(
    filled_file: str, kept: Path
) -> None:
    before = Path(filled_file).read_bytes()
    form = kept.read_bytes().split(b"\n")[0]
    for facts in (b"[" * 200_000, b"[" * 200_000 + b"]" * 200_000, b'{"revision": ' * 200_000):
        rest = facts + b"\n" + before
        kept.write_bytes(form + b"\n" + sha256(rest).hexdigest().encode() + b"\n" + rest)

        with pytest.raises(StorageError, match=r"is not a backup that this broachplan can read$"):
            restore(filled_file, kept, DAY)

    assert Path(filled_file).read_bytes() == before


def test_a_backup_of_another_revision_than_it_claims_is_refused(kept: Path) -> None:
    held = read_backup(kept)
    kept.write_bytes(packed(Backup("20260101a", held.made, held.content)))

    with pytest.raises(StorageError, match="claims revision 20260101a, and holds a crib of revision"):
        read_backup(kept)


def test_a_backup_that_vouches_for_a_damaged_crib_is_refused(kept: Path) -> None:
    held = read_backup(kept)
    content = bytearray(held.content)
    place = content.index(b"drawer 4")
    content[place - 60 : place] = b"\xff" * 60
    kept.write_bytes(packed(Backup(held.revision, held.made, bytes(content))))

    with pytest.raises(StorageError, match="is damaged: "):
        read_backup(kept)


def test_a_damaged_crib_is_not_backed_up_and_the_older_backup_stays(filled_file: str, kept: Path) -> None:
    data = bytearray(Path(filled_file).read_bytes())
    place = data.index(b"drawer 4")
    data[place - 60 : place] = b"\xff" * 60
    Path(filled_file).write_bytes(data)
    before = kept.read_bytes()

    with pytest.raises(StorageError, match=r"is damaged|malformed"):
        back_up(filled_file, kept, DAY, overwrite=True)

    assert kept.read_bytes() == before


def test_a_crib_with_a_row_that_cannot_be_is_backed_up_as_it_is(filled_file: str, tmp_path: Path) -> None:
    with closing(sqlite3.connect(filled_file)) as connection, connection:
        connection.execute("PRAGMA ignore_check_constraints = ON")
        connection.execute("UPDATE shim SET width = -1")

    back_up(filled_file, tmp_path / "crib.backup", DAY)

    assert read_backup(tmp_path / "crib.backup").revision == schema.current()


def test_a_backup_that_is_not_read_back_as_written_gets_no_name(
    filled_file: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(backup, "read_backup", lambda _file: Backup("r", DAY, b""))

    with pytest.raises(StorageError, match="was not written: what was read back is something else"):
        back_up(filled_file, tmp_path / "crib.backup", DAY)

    assert beside(Path(filled_file)) == ["crib.db"]


def test_an_existing_backup_is_replaced_only_when_asked(filled_file: str, kept: Path) -> None:
    before = kept.read_bytes()

    with pytest.raises(InputError, match="is there already; choose another name, or add --overwrite"):
        back_up(filled_file, kept, DAY)
    assert kept.read_bytes() == before

    back_up(filled_file, kept, date(2031, 5, 3), overwrite=True)
    assert read_backup(kept).made == date(2031, 5, 3)


@pytest.mark.parametrize("mask", [0, 0o077, 0o777])
def test_a_backup_is_its_owners_alone_under_every_umask(filled_file: str, tmp_path: Path, mask: int) -> None:
    with umask(mask):
        back_up(filled_file, tmp_path / "crib.backup", DAY)

    assert stat.S_IMODE((tmp_path / "crib.backup").stat().st_mode) == 0o600


@pytest.mark.parametrize("name", ["crib.db", "./crib.db", "crib.db-journal", "crib.db-wal", "link", "twin"])
def test_a_backup_never_takes_the_crib_s_own_place(filled_file: str, name: str) -> None:
    folder = Path(filled_file).parent
    (folder / "link").symlink_to("crib.db")
    (folder / "twin").hardlink_to(filled_file)
    before = Path(filled_file).read_bytes()

    with pytest.raises(InputError, match="is the crib's own file"):
        back_up(filled_file, folder / name, DAY, overwrite=True)

    assert Path(filled_file).read_bytes() == before


@pytest.mark.parametrize(
    ("name", "message"),
    [
        (".", "is a folder"),
        ("no/where.backup", "there is no such folder; make it first"),
        ("pipe", "is not a file"),
        ("circle", "circle|symbolic links"),
        ("a\0b", "which is not a valid file name"),
        ("x" * 300, "file name too long"),
    ],
)
def test_an_invalid_backup_name_is_reported(filled_file: str, name: str, message: str) -> None:
    folder = Path(filled_file).parent
    os.mkfifo(folder / "pipe")
    (folder / "circle").symlink_to("circle")

    with pytest.raises(InputError, match=message):
        back_up(filled_file, folder / name, DAY)


@pytest.mark.parametrize(
    ("sql", "message"),
    [
        ("UPDATE alembic_version SET version_num = 'later'", "of revision later, which this broachplan does"),
        ("DROP TABLE alembic_version", "is a database, but not a crib of broachplan"),
    ],
)
def test_what_is_no_crib_of_ours_is_not_backed_up(
    filled_file: str, tmp_path: Path, sql: str, message: str
) -> None:
    with closing(sqlite3.connect(filled_file)) as connection, connection:
        connection.execute(sql)

    with pytest.raises(StorageError, match=message):
        back_up(filled_file, tmp_path / "crib.backup", DAY)

    assert not (tmp_path / "crib.backup").exists()


def test_an_absent_crib_is_reported_and_neither_it_nor_a_backup_is_made(db_file: str, tmp_path: Path) -> None:
    with pytest.raises(StorageError, match="there is no such file"):
        back_up(db_file, tmp_path / "crib.backup", DAY)

    assert list(tmp_path.iterdir()) == []


def test_a_backup_is_taken_while_another_holds_the_write_lock(filled_file: str, tmp_path: Path) -> None:
    before = contents(filled_file)
    with closing(sqlite3.connect(filled_file, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        other.execute("UPDATE piece SET home = 'half way'")
        back_up(filled_file, tmp_path / "crib.backup", DAY)

    (tmp_path / "held.db").write_bytes(read_backup(tmp_path / "crib.backup").content)
    assert contents(tmp_path / "held.db") == before


def test_what_another_has_written_to_the_file_and_not_kept_is_in_no_backup(
    filled_file: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("broachplan.store.engine.BUSY_SECONDS", 0)
    monkeypatch.setattr("broachplan.store.engine._MODES", {"busy_timeout": 0})
    before, file = contents(filled_file), tmp_path / "crib.backup"
    with closing(sqlite3.connect(filled_file, isolation_level=None)) as other:
        # With room for one page, the rest is written to the file long before the transaction is over.
        other.execute("PRAGMA cache_size = 1")
        other.execute("BEGIN IMMEDIATE")
        other.execute("UPDATE piece SET home = 'half way'")
        other.execute("CREATE TABLE filler AS SELECT hex(zeroblob(9000)) AS x FROM piece, piece AS again")
        assert b"half way" in Path(filled_file).read_bytes()

        with pytest.raises(StorageError, match="another program is writing to it; try again"):
            back_up(filled_file, file, DAY)
        assert not file.exists()
        other.execute("ROLLBACK")

    back_up(filled_file, file, DAY)
    (tmp_path / "held.db").write_bytes(read_backup(file).content)
    assert contents(tmp_path / "held.db") == before


def test_a_large_file_of_another_kind_is_not_read_in(tmp_path: Path) -> None:
    with (tmp_path / "film").open("wb") as film:
        film.truncate(10**12)

    with pytest.raises(StorageError, match="is not a backup of broachplan"):
        read_backup(tmp_path / "film")
