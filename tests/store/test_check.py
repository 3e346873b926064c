"""A check that finds what is wrong and writes nothing."""

from __future__ import annotations

import re
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from broachplan.errors import StorageError
from broachplan.store.check import ABOUT_THE_FILE, check
from broachplan.store.invariants import INVARIANTS

ACTION = "INSERT INTO action (at, by_name) VALUES ('2031-05-02T09:30:00Z', '');"
ENTRY = (
    f"{ACTION} INSERT INTO entry (action_id, piece_id, act, note, changes) "
    "SELECT 1, column1, column2, '', column3 FROM (VALUES "
)
LOAN = "INSERT INTO loan (piece_id, to_name, since) SELECT id, 'Kim', '2031-05-02' FROM piece WHERE tag = 'B-250';"
COUNT = "INSERT INTO drawer_count (home, at, by_name) VALUES ('A/1', '2031-05-02T09:30:00Z', '');"
SETTLED = f"{COUNT} UPDATE drawer_count SET settled_at = at;"
COUNTED = "INSERT INTO count_line (count_id, tag, expected, found, difference, cause) VALUES"
# The table of pieces without its rule that a tag is one piece's.
TWO_TAGS = """
CREATE TABLE other AS SELECT * FROM piece; DROP TABLE piece; ALTER TABLE other RENAME TO piece;
CREATE UNIQUE INDEX one ON piece (id); UPDATE piece SET tag = 'S-1' WHERE tag = 'R-1';
"""
# A run that nothing was ever done in.
RUN = """
INSERT INTO run (letters, state, why, person, question, quantity, order_of, read_each, press, marks, job, drawing, settings, program)
VALUES ('AAAA', 'running', '', 'Kim', '{"bore":"1 in","hub_length":"1 in"}', 1, 'loads', 1, '', '[]', '', '', '{}', '1');
"""
# Broken behind the program's back: with the checks of the database switched off.
JOB = "INSERT INTO job (number, key, state, due, quantity, days, priority, after, drawing, note, question, pieces, held) VALUES"
BROKEN = {
    "UPDATE shim SET width = -1": r"^piece: .* a shim that cannot be, S-1: width: read -1",
    "UPDATE broach SET root_height = last_tooth_height": r"^piece: .* a broach that cannot be, B-250: root height",
    "UPDATE piece SET measured_on = '2031-13-45' WHERE tag = 'S-1'": r"^piece: .* a shim that cannot be, S-1: ",
    "UPDATE piece SET condition = 'bent' WHERE tag = 'S-1'": r"^piece: .* a shim that cannot be, S-1: ",
    "DELETE FROM shim": r"^figures: shim S-1 has no row of figures$",
    "INSERT INTO ring (piece_id) SELECT id FROM piece WHERE tag = 'S-1'": r"^figures: shim S-1 has figures of a ring$",
    "UPDATE ring SET piece_id = 99": r"^reference: row 99 of ring refers to a piece that is not there$",
    "INSERT INTO loan (piece_id, to_name, since) VALUES (99, 'Kim', '2031-05-02')": r"^reference: row 1 of loan refers to a piece",
    "INSERT INTO hold (piece_id, day, for_what) VALUES (99, '2031-05-02', 'job 1')": r"^reference: row 1 of hold refers to a piece",
    f"{JOB} ('J-1', 'j-1', 'coming', '2031-05-28', 1, 1, 5, '', '', '', '{{}}', '[]', '[]')": r"^job: the history of job J-1 does not begin with its being added$",
    f"{JOB} ('J-1', 'j-2', 'coming', '2031-05-28', 1, 1, 5, '', '', '', '{{}}', '[]', '[]')": r"^job: job J-1 is kept under the key j-2",
    f"{JOB} ('J-1', 'j-1', 'coming', '2031-05-28', 1, 1, 5, 'J-9', '', '', '{{}}', '[]', '[]')": r"^job: job J-1 follows job J-9, which is not there$",
    f"{JOB} ('J-1', 'j-1', 'coming', '2031-05-28', 1, 1, 5, '', '', '', '{{\"web\":1}}', '[]', '[]')": r"^job: the crib holds a job that cannot be, J-1",
    f"{JOB} ('J-1', 'j-1', 'started', '2031-05-28', 1, 1, 5, '', '', '', '{{}}', '[\"S-1\"]', '[\"2031-05-28\"]')": r"^job: job J-1 is started and does not hold S-1 on 2031-05-28$",
    f"{JOB} ('J-1', 'j-1', 'coming', '2031-05-32', 1, 1, 5, '', '', '', '{{}}', '[]', '[]')": r"^day: job.due holds “2031-05-32”",
    "INSERT INTO setting VALUES ('stack_most', '9')": r"^setting: .*holds a setting that cannot be: stack_most",
    "INSERT INTO action (at, by_name) VALUES ('2031-05-02T09:30:00Z', '')": r"^action: action 1 has no entry$",
    f"{ACTION} INSERT INTO entry (action_id, piece_id, act, note, changes) VALUES (9, 1, 'changed', '', '{{}}')": r"^reference: .* refers to an action that is not there$",
    f"{ENTRY} (99, 'changed', '{{}}'))": r"^reference: row 1 of entry refers to a piece that is not there$",
    f"{ENTRY} (1, 'changed', 'null'))": r"^history: .*an entry that cannot be, changed at 2031-05-02T09:30:00Z: changes",
    f"{ENTRY} (1, 'changed', '{{\"home\": [1]}}'))": r"^history: .*an entry that cannot be, changed at .*: home does not have",
    f'{ENTRY} (1, \'changed\', \'{{"home": ["", "drawer 5"]}}\'))': r"^history: the history of B-250 does not lead to its home as",
    f"{ENTRY} (1, 'lent', '{{\"lent_to\": [null, \"Kim\"]}}'))": r"^history: the history of B-250 does not lead to its lent_to as",
    f"{LOAN} UPDATE piece SET retired = 1": r"^loan: piece B-250 is retired and has an open loan$",
    f"DROP INDEX uq_loan_open; {LOAN} {LOAN}": r"^loan: piece B-250 has more than one open loan$",
    "DROP INDEX uq_loan_open": r"^schema: index uq_loan_open is missing$",
    "CREATE TABLE notes (a)": r"^schema: table notes does not belong there$",
    "ALTER TABLE ring ADD COLUMN colour TEXT": r"^schema: table ring is not as it should be$",
    "UPDATE piece SET retired = 7 WHERE tag = 'S-1'": r"^rule: row \d+ of piece breaks the rule retired IN \(0, 1\)$",
    "UPDATE piece SET kind = 'anvil' WHERE tag = 'S-1'": r"^rule: row \d+ of piece breaks the rule kind IN",
    "UPDATE shim SET thickness = 0": r"^rule: row \d+ of shim breaks the rule thickness > 0$",
    f"{LOAN} UPDATE loan SET returned = '2031-05-01'": r"^rule: row 1 of loan breaks the rule returned >= since$",
    f"{LOAN} UPDATE loan SET since = '2031-02-30'": r"^day: loan.since holds “2031-02-30”, which is no day",
    "INSERT INTO action (at, by_name) VALUES ('2031-05-02T25:30:00Z', '')": r"^day: action.at holds “2031-05-02T25:30:00Z”",
    "UPDATE piece SET home = 'drawer' || char(27) || '[2J' WHERE tag = 'S-1'": r"^words: piece.home: read .*U\+001B must not",
    "UPDATE piece SET note = char(8238) WHERE tag = 'S-1'": r"^words: piece.note: .*U\+202E",
    "INSERT INTO drawer_count (home, at, by_name) VALUES ('A/1', '2031-05-02T09:30:61Z', '')": r"^day: drawer_count.at holds “2031-05-02T09:30:61Z”",
    f"{COUNT} {COUNTED} (1, 'S-1', 1, 1, 'stray', '')": r"^count: count 1: S-1 is booked as stray, expected and found$",
    f"{COUNT} {COUNTED} (1, 'S-1', 0, 0, '', '')": r"^count: count 1: S-1 is booked as in order, not expected and not found$",
    f"{COUNT} {COUNTED} (1, 'S-1', 0, 1, 'absent', '')": r"^count: .*is booked as absent, not expected and found$",
    f"{COUNT} {COUNTED} (1, 'S-1', 0, 1, 'stray', 'mixed up')": r"^count: count 1: S-1 has a cause and is not a settled difference$",
    f"{SETTLED} {COUNTED} (1, 'S-1', 0, 1, 'stray', '')": r"^count: count 1: S-1 is settled without a cause$",
    f"{SETTLED} {COUNTED} (1, 'S-1', 1, 0, 'absent', 'lost')": r"^count: count 1: S-1 is settled, and no act has touched it since it was counted$",
    f"{ACTION} {COUNT} UPDATE drawer_count SET action_id = 1": r"^count: count 1 names an act that settled it and is open$",
    f"{COUNT} {COUNTED} (9, 'S-1', 0, 1, 'stray', '')": r"^reference: row 1 of count_line refers to a drawer_count that is not there$",
    "INSERT INTO wear (piece_id, ground_on) VALUES (1, '2031-13-02')": r"^day: wear.ground_on holds “2031-13-02”, which is no day",
    f"{LOAN} UPDATE piece SET missing_since = '2031-05-02'": r"^loan: piece \S+ is missing and has an open loan",
    RUN: r"^run: the crib holds a run that cannot be, 1: the run has no start$",
    "DROP TABLE hold": r"^table: table hold is missing$",
    "ALTER TABLE ring RENAME COLUMN length TO size": r"^table: column ring.length is missing$",
    TWO_TAGS: r"^tag: tag S-1 is on more than one piece$",
    "UPDATE alembic_version SET version_num = 'later'": r"^revision: .*is of revision later",
    "DELETE FROM alembic_version": r"^revision: .*is a database, but not a crib of broachplan",
}


def broken(db: str, sql: str) -> None:
    with closing(sqlite3.connect(db)) as connection, connection:
        connection.execute("PRAGMA ignore_check_constraints = ON")
        connection.executescript(sql)


def test_a_crib_in_order_gives_no_findings(filled: str) -> None:
    assert check(filled) == ()


@pytest.mark.parametrize(("sql", "message"), BROKEN.items())
def test_what_is_broken_is_found(filled_file: str, sql: str, message: str) -> None:
    broken(filled_file, sql)

    findings = check(filled_file)

    assert any(re.search(message, line) for line in findings), findings


def test_each_invariant_has_a_case_that_breaks_it_and_a_line_that_says_what_holds() -> None:
    shown = {message.removeprefix("^").partition(":")[0] for message in BROKEN.values()} | {"damage"}

    assert {invariant.name for invariant in INVARIANTS} == shown
    assert len(shown | set(ABOUT_THE_FILE)) == 20
    assert all(invariant.about for invariant in INVARIANTS)


def test_the_readme_lists_every_invariant_with_what_holds() -> None:
    readme = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
    message = {invariant.name: invariant.about for invariant in INVARIANTS}

    for name, about in (ABOUT_THE_FILE | message).items():
        assert f"| {name} | {about} |\n" in readme


def test_a_write_cut_short_is_reported_and_left_to_a_command_that_may_undo_it(filled_file: str) -> None:
    with closing(sqlite3.connect(filled_file, isolation_level=None)) as other:
        other.execute("PRAGMA cache_size = 1")
        other.execute("BEGIN IMMEDIATE")
        other.execute("UPDATE piece SET note = hex(zeroblob(90))")
        other.execute("CREATE TABLE filler AS SELECT hex(zeroblob(9000)) AS x FROM piece, piece AS again")
        half, journal = Path(filled_file).read_bytes(), Path(f"{filled_file}-journal").read_bytes()
        other.execute("ROLLBACK")
    Path(filled_file).write_bytes(half)
    Path(f"{filled_file}-journal").write_bytes(journal)

    (finding,) = check(filled_file)

    assert finding.startswith("journal: ")
    assert "a write was cut short" in finding
    assert (Path(filled_file).read_bytes(), Path(f"{filled_file}-journal").read_bytes()) == (half, journal)
    with closing(sqlite3.connect(filled_file)) as other:
        assert other.execute("SELECT count(*) FROM piece").fetchone() == (6,)
    assert check(filled_file) == ()


def test_a_damaged_page_is_found(filled_file: str) -> None:
    data = bytearray(Path(filled_file).read_bytes())
    place = data.index(b"drawer 4")
    data[place - 60 : place] = b"\xff" * 60
    Path(filled_file).write_bytes(data)

    assert any(line.startswith("damage: the file is damaged: ") for line in check(filled_file))


@pytest.mark.parametrize("damage", ["nothing", "UPDATE shim SET width = -1"])
def test_a_check_writes_nothing(filled_file: str, damage: str) -> None:
    if damage != "nothing":
        broken(filled_file, damage)
    before = Path(filled_file).read_bytes(), Path(filled_file).stat().st_mtime_ns

    check(filled_file)

    assert (Path(filled_file).read_bytes(), Path(filled_file).stat().st_mtime_ns) == before
    assert [path.name for path in Path(filled_file).parent.iterdir()] == ["crib.db"]


def test_an_absent_file_is_reported_and_not_made(db_file: str) -> None:
    with pytest.raises(StorageError, match=r"there is no such file"):
        check(db_file)

    assert not Path(db_file).exists()


@pytest.mark.parametrize(
    ("content", "message"),
    [(b"", "it is empty; any other command sets it up"), (b"tag,web\n", "it is not a database")],
)
def test_a_file_that_is_no_crib_is_reported(db_file: str, content: bytes, message: str) -> None:
    Path(db_file).write_bytes(content)

    (finding,) = check(db_file)

    assert finding.startswith("file: ")
    assert finding.endswith(message)
    assert Path(db_file).read_bytes() == content


def test_a_write_ahead_log_is_reported_and_left(filled_file: str) -> None:
    with closing(sqlite3.connect(filled_file)) as other:
        other.execute("PRAGMA journal_mode = WAL")

    (finding,) = check(filled_file)

    assert finding.startswith("journal: ")
    assert finding.endswith("its journal is a write-ahead log; any other command changes that")
    assert [path.name for path in Path(filled_file).parent.iterdir()] == ["crib.db"]
