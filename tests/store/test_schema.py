"""The schema that a new database is given, the revisions that lead to it, and what it refuses to hold."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from alembic import command
from alembic.autogenerate import compare_metadata
from alembic.runtime.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Connection
from sqlalchemy.exc import IntegrityError

from broachplan.crib.entries import Act
from broachplan.store import schema
from broachplan.store.engine import WRITES, engine_for
from broachplan.store.location import located, make_file
from broachplan.store.outline import differences, expected, in_one_form, outline_of
from broachplan.store.revisions import alembic_config
from broachplan.store.rows import ACTS
from broachplan.store.server_outline import expected_on_server, outline_on_server
from broachplan.store.tables import FIGURES_OF, METADATA
from broachplan.store.translate import figure_columns
from broachplan.store.work import reading
from broachplan.tooling.figures import Kind
from tests import databases


@pytest.fixture
def bare(empty: str) -> Iterator[Connection]:
    """A connection to an empty database, such as an upgrade is run on."""
    location = located(empty)
    make_file(location)
    with engine_for(location).connect() as connection:
        yield connection.execution_options(**{WRITES: True})


def outlined(connection: Connection) -> tuple[dict[str, str], dict[str, str]]:
    """What is there, and what a new crib would have."""
    if connection.dialect.name == "sqlite":
        return outline_of(connection), expected()
    return outline_on_server(connection), expected_on_server(connection)


def migrate(connection: Connection, to: str) -> None:
    config = alembic_config()
    config.attributes["connection"] = connection
    (command.upgrade if to == "head" else command.downgrade)(config, to)


def test_the_revision_known_to_the_program_is_the_head_of_the_migrations() -> None:
    scripts = ScriptDirectory.from_config(alembic_config())

    assert scripts.get_heads() == [schema.current()]


def test_the_revisions_known_to_the_program_are_those_of_the_migrations_in_order() -> None:
    scripts = ScriptDirectory.from_config(alembic_config())

    assert tuple(script.revision for script in reversed(list(scripts.walk_revisions()))) == schema.REVISIONS


def test_file_names_of_revisions_begin_with_their_day() -> None:
    scripts = ScriptDirectory.from_config(alembic_config())

    for script in scripts.walk_revisions():
        day = script.path.rsplit("/", 1)[-1][:10].replace("_", "")
        assert day.isdigit()
        assert script.revision.startswith(day)


def test_a_new_database_is_what_the_migrations_make(bare: Connection) -> None:
    migrate(bare, "head")

    found, wanted = outlined(bare)
    assert found == wanted


def test_the_acts_that_the_database_knows_are_those_of_the_histories() -> None:
    assert tuple(act.value for act in Act) == ACTS


def test_alembic_finds_nothing_to_change_in_a_new_database(db: str) -> None:
    with reading(db) as work:
        found = compare_metadata(MigrationContext.configure(work.connection), METADATA)

    assert found == []


def test_a_database_can_be_taken_down_and_up_again(bare: Connection) -> None:
    migrate(bare, "head")
    migrate(bare, "base")
    left = [name for name in outlined(bare)[0] if name.startswith("table ")]
    bare.rollback()
    migrate(bare, "head")

    assert left == ["table alembic_version"]
    found, wanted = outlined(bare)
    assert found == wanted


@pytest.mark.parametrize("kind", Kind)
def test_the_columns_of_a_kind_are_its_figures(kind: Kind) -> None:
    assert tuple(FIGURES_OF[kind].c.keys()) == ("piece_id", *figure_columns(kind))


def test_every_table_is_strict_and_every_constraint_has_a_name(db_file: str) -> None:
    with reading(db_file) as work:
        statements = {
            name: sql for name, sql in outline_of(work.connection).items() if name.startswith("table")
        }
    del statements["table alembic_version"]

    for name, sql in statements.items():
        assert sql.endswith(" STRICT") or sql.endswith("STRICT"), name
        named = sql.count("CONSTRAINT ")
        assert named == sql.count("CHECK(") + sql.count("PRIMARY KEY(") + sql.count("UNIQUE(") + sql.count(
            "FOREIGN KEY("
        ), name


PIECE = "INSERT INTO piece (tag, kind, set_name, home, condition, note, measured_with, measured_by) VALUES "
ACTION = "INSERT INTO action (id, at, by_name, undoes) VALUES (1, '2031-05-02T09:30:00Z', 'Kim', NULL)"
REFUSED = {
    "a tag twice": PIECE + "('B-250', 'shim', '', '', 'fit', '', '', '')",
    "no tag": PIECE + "('', 'shim', '', '', 'fit', '', '', '')",
    "a tag of 41": PIECE + f"('{'a' * 41}', 'shim', '', '', 'fit', '', '', '')",
    "an unknown kind": PIECE + "('X', 'hammer', '', '', 'fit', '', '', '')",
    "an unknown condition": PIECE + "('X', 'shim', '', '', 'bent', '', '', '')",
    "a note of 201": PIECE + f"('X', 'shim', '', '', 'fit', '{'a' * 201}', '', '')",
    "half retired": "UPDATE piece SET retired = 2",
    "a version of none": "UPDATE piece SET version = 0",
    "a day that is no day": "UPDATE piece SET measured_on = 'May'",
    "words for a length": "UPDATE shim SET width = 'wide'",
    "a length with a fraction": "UPDATE shim SET width = 1.5",
    "a length of nothing": "UPDATE shim SET width = 0",
    "one rising tooth": "UPDATE broach SET rising_teeth = 1",
    "finishing teeth below none": "UPDATE broach SET finishing_teeth = -1",
    "teeth beyond counting": "UPDATE broach SET rising_teeth = 1001",
    "last tooth not above the first": "UPDATE broach SET last_tooth_height = first_tooth_height",
    "root not below the first tooth": "UPDATE broach SET root_height = first_tooth_height",
    "teeth longer than the broach": "UPDATE broach SET overall_length = front_length + 21 * tooth_pitch - 1",
    "slot as wide as the bushing": "UPDATE bushing SET slot_width = outside_diameter",
    "web as thick as the bushing": "UPDATE bushing SET web = outside_diameter",
    "figures of no piece": "INSERT INTO ring (piece_id) VALUES (99)",
    "figures twice": "INSERT INTO ring SELECT piece_id, wall, length FROM ring",
    "a piece gone from under its figures": "DELETE FROM piece WHERE tag = 'R-1'",
    "a loan of no piece": "INSERT INTO loan (piece_id, to_name, since) VALUES (99, 'Kim', '2031-05-02')",
    "a loan to nobody": "INSERT INTO loan (piece_id, to_name, since) VALUES (1, '', '2031-05-02')",
    "a return before the loan": "INSERT INTO loan (piece_id, to_name, since, returned) VALUES (1, 'Kim', '2031-05-02', '2031-05-01')",
    "a second open loan": "INSERT INTO loan (piece_id, to_name, since) VALUES (1, 'Kim', '2031-05-02'), (1, 'Ann', '2031-05-03')",
    "a second hold on a day": "INSERT INTO hold (piece_id, day, for_what) VALUES (1, '2031-05-02', 'job 1'), (1, '2031-05-02', 'job 2')",
    "a loan due before it begins": "INSERT INTO loan (piece_id, to_name, since, due) VALUES (1, 'Kim', '2031-05-02', '2031-05-01')",
    "a loan due on no day": "INSERT INTO loan (piece_id, to_name, since, due) VALUES (1, 'Kim', '2031-05-02', 'in summer')",
    "an action at no moment": "INSERT INTO action (at, by_name) VALUES ('2031-05-02', '')",
    "a name of 101": f"INSERT INTO action (at, by_name) VALUES ('2031-05-02T09:30:00Z', '{'a' * 101}')",
    "an undoing of nothing": "INSERT INTO action (id, at, by_name, undoes) VALUES (9, '2031-05-02T09:30:00Z', '', 8)",
    "an undoing of itself": "INSERT INTO action (id, at, by_name, undoes) VALUES (9, '2031-05-02T09:30:00Z', '', 9)",
    "an action undone twice": ACTION + ", (2, '2031-05-02T09:30:00Z', '', 1), (3, '2031-05-02T09:30:00Z', '', 1)",
    "an entry of no action": "INSERT INTO entry (action_id, piece_id, act, note, changes) VALUES (1, 1, 'lent', '', '{}')",
    "a setting twice": "INSERT INTO setting VALUES ('units', 'mm'), ('units', 'inch')",
}  # fmt: skip
ALLOWED = {
    "teeth just as long as the broach": "UPDATE broach SET overall_length = front_length + 21 * tooth_pitch",
    "a loan after one that is closed": "INSERT INTO loan (piece_id, to_name, since, returned) VALUES (1, 'Kim', '2031-05-02', '2031-05-02'), (1, 'Ann', '2031-05-03', NULL)",
    "a loan due on its day": "INSERT INTO loan (piece_id, to_name, since, due) VALUES (1, 'Kim', '2031-05-02', '2031-05-02')",
    "an undoing": ACTION + ", (2, '2031-05-02T09:30:00Z', '', 1)",
    "holds on two days": "INSERT INTO hold (piece_id, day, for_what) VALUES (1, '2031-05-02', 'job 1'), (1, '2031-05-03', 'job 1')",
    "a length of 3 m": "UPDATE shim SET length = 3000000000",
    "figures not known": "UPDATE bushing SET slot_width = NULL, web = NULL",
}  # fmt: skip


# A server takes words for a number as it takes no number, and rounds a fraction, which the program never writes.
OF_A_FILE = {"words for a length", "a length with a fraction"}


def takes(db: str, sql: str) -> bool:
    """Whether the database takes a statement, which is then undone."""
    with engine_for(located(db)).connect() as connection:
        try:
            connection.exec_driver_sql(sql)
        except IntegrityError:
            return False
        return True


def test_the_database_itself_refuses_what_cannot_be_and_takes_what_can(filled: str) -> None:
    left_out = OF_A_FILE if databases.on_server() else set()

    assert [what for what, sql in REFUSED.items() if what not in left_out and takes(filled, sql)] == []
    assert [what for what, sql in ALLOWED.items() if not takes(filled, sql)] == []


def test_sql_in_one_form_is_blind_to_spaces_quotes_and_order_only() -> None:
    one = in_one_form('CREATE TABLE "a" (\n\tx INTEGER, \n\tCHECK (x IN (1, 2))\n)\n STRICT')

    assert one == in_one_form("CREATE TABLE a (CHECK(x IN (1,2)), x INTEGER) STRICT")
    assert one != in_one_form("CREATE TABLE a (CHECK(x IN (1,3)), x INTEGER) STRICT")
    assert one != in_one_form("CREATE TABLE a (CHECK(x IN (1,2)), x INTEGER)")


@pytest.mark.parametrize(
    ("found", "message"),
    [
        ({"index i": "CREATE INDEX i ON t(a)"}, ["index i is not as it should be"]),
        ({}, ["index i is missing"]),
        ({"index i": "CREATE INDEX i ON t(a)WHERE b", "table u": ""}, ["table u does not belong there"]),
    ],
)
def test_differences_of_schemas_are_put_into_words(found: dict[str, Any], message: list[str]) -> None:
    assert list(differences(found, {"index i": "CREATE INDEX i ON t(a)WHERE b"})) == message
