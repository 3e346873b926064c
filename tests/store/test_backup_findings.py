"""A backup is only as good as the crib in it: one that fails the check is said to, and never put back."""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from contextlib import closing
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from broachplan.errors import StorageError
from broachplan.store import image, schema
from broachplan.store.backup import Backup, back_up, packed, read_backup
from broachplan.store.check import check
from broachplan.store.engine import engine_for
from broachplan.store.location import located
from broachplan.store.restore import restore
from tests.databases import contents, execute

DAY = date(2031, 5, 2)
OLDER = schema.REVISIONS[0]
IN_THE_RING = (
    "INSERT INTO piece (tag, kind, set_name, home, condition, note, measured_with, measured_by) "
    "VALUES ('R-1', 'ring', '', '', 'fit', '', '', '')",
    "INSERT INTO ring VALUES (1, 3000000000, NULL)",
)
WRONG = {
    "CREATE TRIGGER quiet BEFORE INSERT ON loan BEGIN SELECT RAISE(IGNORE); END": r"schema: trigger quiet does not belong",
    "DROP TABLE hold": r"table: table hold is missing",
    "UPDATE shim SET thickness = -1270000": r"rule: row \d of shim breaks the rule thickness > 0",
    "UPDATE piece SET note = 'bent' || char(27) || '[2J' WHERE tag = 'S-1'": r"words: piece.note: .*U\+001B",
    "INSERT INTO setting VALUES ('stack_most', '9')": r"setting: .*stack_most",
    "DELETE FROM shim": r"figures: shim S-1 has no row of figures",
}


def changed(content: bytes, statements: Sequence[str]) -> bytes:
    """A crib's bytes after some statements that no rule of a table hinders."""
    with closing(sqlite3.connect(":memory:")) as connection:
        connection.deserialize(content)
        connection.execute("PRAGMA ignore_check_constraints = ON")
        connection.executescript(";".join(statements))
        return connection.serialize()


def older(*statements: str) -> bytes:
    """A crib of the first revision with one ring, after some statements."""
    return changed(image.blank_image(OLDER), [*IN_THE_RING, *statements])


def packed_in(folder: Path, content: bytes, revision: str = "") -> Path:
    """A backup whose sum is right."""
    file = folder / "made.backup"
    file.write_bytes(packed(Backup(revision or schema.current(), DAY, content)))
    return file


def whole(db: str) -> Any:
    """All that a database holds, and the names beside a file or of the schemas."""
    path = located(db).path
    if path is not None:
        return path.read_bytes(), [each.name for each in path.parent.iterdir()]
    with engine_for(located(db)).connect() as connection:
        names = "SELECT nspname FROM pg_namespace WHERE nspname LIKE 'crib%%'"
        return contents(db), connection.exec_driver_sql(names).all()


@pytest.mark.parametrize(("sql", "message"), WRONG.items())
def test_a_backup_whose_sum_is_right_and_whose_crib_is_not_is_refused(
    filled: str, tmp_path: Path, sql: str, message: str
) -> None:
    back_up(filled, tmp_path / "sound.backup", DAY)
    file = packed_in(tmp_path, changed(read_backup(tmp_path / "sound.backup").content, [sql]))
    before = whole(filled)

    with pytest.raises(
        StorageError, match=rf"holds a crib that fails its check \(.*{message}.*nothing was changed"
    ):
        restore(filled, file, DAY)

    assert whole(filled) == before


@pytest.mark.parametrize(
    ("sql", "message"),
    [
        ("CREATE TRIGGER quiet BEFORE INSERT ON loan BEGIN SELECT 1; END", "schema: trigger quiet does not belong"),
        ("DROP TABLE press", "schema: table press is missing"),
        ("UPDATE ring SET wall = -1", r"revision: it cannot be brought up to date|rule: row 1 of ring breaks the rule wall"),
        ("UPDATE piece SET note = char(27)", r"words: piece.note: .*U\+001B"),
        ("DELETE FROM ring", "figures: ring R-1 has no row of figures"),
    ],
)  # fmt: skip
def test_a_backup_of_an_older_revision_is_checked_as_it_would_be_after_an_upgrade(
    filled: str, tmp_path: Path, sql: str, message: str
) -> None:
    file = packed_in(tmp_path, older(sql), OLDER)
    before = whole(filled)

    with pytest.raises(StorageError, match=rf"fails its check \({message}"):
        restore(filled, file, DAY)

    assert whole(filled) == before


def test_a_sound_crib_of_an_older_revision_is_backed_up_and_restored_as_it_is(
    filled_file: str, db_file: str, tmp_path: Path
) -> None:
    content = older()

    restored = restore(filled_file, packed_in(tmp_path, content, OLDER), DAY)
    backed_up = back_up(db_file, tmp_path / "crib.backup", DAY)

    assert (restored.revision, restored.current) == (OLDER, False)
    assert Path(filled_file).read_bytes() == content
    assert (backed_up.revision, backed_up.findings) == (OLDER, ())


def test_a_crib_with_findings_is_backed_up_as_it_is_and_replaces_another_backup_only_if_asked_twice(
    filled: str, tmp_path: Path
) -> None:
    file = tmp_path / "crib.backup"
    sound = back_up(filled, file, DAY)
    execute(filled, "INSERT INTO setting VALUES ('stack_most', '9')")
    before = file.read_bytes()

    with pytest.raises(
        StorageError, match=r"fails its check \(setting: .*was not replaced; .* --with-findings too"
    ):
        back_up(filled, file, DAY, overwrite=True)
    assert file.read_bytes() == before

    done = back_up(filled, file, DAY, overwrite=True, with_findings=True)
    beside = back_up(filled, tmp_path / "other.backup", DAY)

    assert sound.findings == ()
    assert done.findings == beside.findings == check(filled)
    assert file.read_bytes() == (tmp_path / "other.backup").read_bytes() != before
    with pytest.raises(StorageError, match=r"holds a crib that fails its check \(setting: "):
        restore(filled, file, DAY)


def test_a_backup_whose_crib_has_words_that_cannot_be_read_is_refused(
    filled_file: str, tmp_path: Path
) -> None:
    content = bytearray(Path(filled_file).read_bytes())
    content[content.index(b"NOT NULL", content.index(b"CREATE TABLE shim ("))] ^= 0x80

    with pytest.raises(StorageError, match=r"holds no crib that can be used: .*malformed database schema"):
        restore(filled_file, packed_in(tmp_path, bytes(content)), DAY)
