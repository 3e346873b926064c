"""The check of a crib on a server: what keeps it in order there is seen to be there, and what is broken is found."""

from __future__ import annotations

import re
from typing import Any

import pytest
from alembic import command

from broachplan.errors import StorageError
from broachplan.store.check import check
from broachplan.store.engine import WRITES, engine_for
from broachplan.store.location import located
from broachplan.store.revisions import alembic_config
from broachplan.store.server_outline import expected_on_server, outline_on_server
from tests import databases
from tests.databases import contents, execute

ACTION = "INSERT INTO action (at, by_name) VALUES ('2031-05-02T09:30:00Z', '')"
LOAN = "INSERT INTO loan (piece_id, to_name, since) VALUES (1, 'Kim', '2031-05-02')"
# Some need a rule to be dropped first, which is then found missing too.
BROKEN = {
    "UPDATE alembic_version SET version_num = 'later'": r"^revision: .*is of revision later",
    "DELETE FROM alembic_version": r"^revision: .*is a database, but not a crib of broachplan",
    "DROP TABLE hold": r"^table: table hold is missing$",
    "ALTER TABLE ring RENAME COLUMN length TO size": r"^table: column ring.length is missing$",
    "DROP INDEX uq_loan_open": r"^schema: index uq_loan_open is missing$",
    "DROP INDEX uq_loan_open; CREATE UNIQUE INDEX uq_loan_open ON loan (piece_id)": r"^schema: index uq_loan_open is not",
    "CREATE TABLE notes (a int)": r"^schema: table notes does not belong there$",
    "CREATE VIEW fit AS SELECT 1": r"^schema: view fit does not belong there$",
    "ALTER TABLE ring ADD COLUMN colour TEXT": r"^schema: column ring.colour does not belong there$",
    "ALTER TABLE piece ALTER COLUMN tag DROP NOT NULL": r"^schema: column piece.tag is not as it should be$",
    "ALTER TABLE shim ALTER COLUMN width TYPE int": r"^schema: column shim.width is not as it should be$",
    "ALTER TABLE piece ALTER COLUMN version SET DEFAULT 2": r"^schema: column piece.version is not as it should",
    "ALTER TABLE piece DROP CONSTRAINT uq_piece_tag": r"^schema: constraint uq_piece_tag is missing$",
    "ALTER TABLE hold DROP CONSTRAINT fk_hold_piece_id_piece": r"^schema: constraint fk_hold_piece_id_piece is missing$",
    "ALTER TABLE ring DROP CONSTRAINT fk_ring_piece_id_piece; UPDATE ring SET piece_id = 99": r"^reference: row 99 of ring refers to a piece that is not there$",
    "ALTER TABLE shim DROP CONSTRAINT ck_shim_width_positive; UPDATE shim SET width = -1": r"^rule: row \d+ of shim breaks the rule width > 0$",
    "UPDATE piece SET measured_on = '2031-13-45'": r"^day: piece.measured_on holds “2031-13-45”",
    "UPDATE piece SET note = 'a' || chr(8238) WHERE id = 3": r"^words: piece.note: .*U\+202E",
    "ALTER TABLE piece DROP CONSTRAINT uq_piece_tag; UPDATE piece SET tag = 'S-1' WHERE tag = 'R-1'": r"^tag: tag S-1 is on more than one piece$",
    "DELETE FROM shim": r"^figures: shim S-1 has no row of figures$",
    f"DROP INDEX uq_loan_open; {LOAN}; {LOAN}": r"^loan: piece B-250 has more than one open loan$",
    ACTION: r"^action: action 1 has no entry$",
    f"""{ACTION}; INSERT INTO entry (action_id, piece_id, act, note, changes)
        VALUES (1, 1, 'changed', '', '{{"home": ["", "drawer 5"]}}')""": r"^history: the history of B-250 does not lead to",
    "INSERT INTO setting VALUES ('stack_most', '9')": r"^setting: .*holds a setting that cannot be: stack_most",
}


@pytest.mark.usefixtures("server")
@pytest.mark.parametrize(("sql", "message"), BROKEN.items())
def test_what_is_broken_on_a_server_is_found_and_nothing_is_written(
    filled: str, sql: str, message: str
) -> None:
    execute(filled, *sql.split(";"))

    findings = check(filled)

    assert any(re.search(message, line) for line in findings), findings
    assert check(filled) == findings


@pytest.mark.usefixtures("server")
def test_an_empty_database_is_reported_and_left_empty(empty: str) -> None:
    assert check(empty) == (f"revision: {located(empty).name}: it is empty; any other command sets it up",)
    assert (
        databases.ask(
            "SELECT * FROM pg_tables WHERE schemaname = 'public'", database=databases.name_in(empty)
        )
        == []
    )


@pytest.mark.usefixtures("server")
def test_a_database_that_is_not_there_cannot_be_checked(filled: str) -> None:
    with pytest.raises(StorageError, match=r"cannot be used: the server has no such database or account$"):
        check(filled.replace(databases.name_in(filled), "no_such_crib"))


@pytest.mark.usefixtures("server")
def test_what_the_migrations_make_on_a_server_is_a_new_crib_to_the_word(db: str, empty: str) -> None:
    with engine_for(located(empty)).connect() as connection:
        config = alembic_config()
        config.attributes["connection"] = connection.execution_options(**{WRITES: True})
        command.upgrade(config, "head")

    # Here, on one server, the words of every CHECK can be compared too.
    assert _words(empty) == _words(db)
    assert check(empty) == ()
    with engine_for(located(db)).connect() as connection:
        assert outline_on_server(connection) == expected_on_server(connection)
    assert contents(empty) == contents(db)


def _words(db: str) -> list[tuple[Any, ...]]:
    rules = "SELECT conrelid::regclass::text, conname, pg_get_constraintdef(oid) FROM pg_constraint WHERE connamespace = 'public'::regnamespace"
    indexes = "SELECT tablename, indexname, indexdef FROM pg_indexes WHERE schemaname = 'public'"
    return sorted(databases.ask(f"{rules} UNION ALL {indexes}", database=databases.name_in(db)))
