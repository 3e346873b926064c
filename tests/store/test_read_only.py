"""An account that may only read: it reads everything, and one line names what it may not do and what to ask for."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from broachplan.desks.machinist.plan_hub import plan_hub
from broachplan.errors import StorageError
from broachplan.questions.hub import PlanRequest
from broachplan.store.backup import back_up
from broachplan.store.work import reading
from broachplan.tooling.figures import Kind
from tests import databases
from tests.databases import contents, database, name_in, url_of
from tests.desks.doing import add_piece, change_setting, edit_piece, lend_piece, restore_data, undo_act
from tests.desks.looking import check_data, list_out, list_pieces, list_sets, show_piece, show_settings
from tests.without_rights import no_overriding

README = Path(__file__).parents[2] / "README.md"
NOW = datetime(2031, 5, 2, 9, 30, tzinfo=UTC)
HUB = PlanRequest(bore="1 in", hub_length="1 in")
READS: dict[str, Callable[[str], object]] = {
    "list": list_pieces,
    "show": lambda db: show_piece(db, "B-250"),
    "plan": lambda db: plan_hub(db, HUB),
    "out": lambda db: list_out(db, NOW.date()),
    "sets": list_sets,
    "settings": show_settings,
    "check": check_data,
}
WRITES: dict[str, Callable[[str], object]] = {
    "add": lambda db: add_piece(db, Kind.SHIM, "S-9", {}, at=NOW),
    "edit": lambda db: edit_piece(db, "S-1", {"home": "x"}, at=NOW),
    "lend": lambda db: lend_piece(db, "B-250", "Kim", at=NOW),
    "undo": lambda db: undo_act(db, at=NOW),
    "set": lambda db: change_setting(db, "units", "mm"),
}


def read_and_refused(db: str, message: str) -> None:
    """All reading acts answer, all writing ones are refused with that line."""
    assert {name: bool(act(db) is not None) for name, act in READS.items()} == dict.fromkeys(READS, True)
    assert check_data(db) == ()
    for act in WRITES.values():
        with pytest.raises(StorageError, match=message) as caught:
            act(db)
        assert "\n" not in str(caught.value)


@contextmanager
def looker(db: str, *grants: str) -> Iterator[str]:
    """The database as an account of its own sees it, which may no more than is granted."""
    name = name_in(db)
    role = f"looker_{name}"
    databases.ask(f"CREATE ROLE {role} LOGIN PASSWORD 'hush hush'")
    try:
        for grant in grants:
            databases.ask(f"GRANT {grant} TO {role}", database=name, user=databases.KEEPER)
        yield url_of(name, role, "hush%20hush")
    finally:
        databases.ask(f"DROP OWNED BY {role}", database=name)
        databases.ask(f"DROP ROLE {role}")


@pytest.mark.usefixtures("server")
def test_a_server_account_that_may_only_read_reads_all_and_sees_which_right_to_ask_for(
    filled: str, tmp_path: Path
) -> None:
    lend_piece(filled, "S-1", "Kim", at=NOW)
    before = contents(filled)

    with looker(filled, "SELECT ON ALL TABLES IN SCHEMA public") as db:
        read_and_refused(
            db,
            r"^crib “\w+”: the account “looker_\w+” may not change it; ask the server's administrator "
            r"to grant it INSERT, UPDATE and DELETE on all its tables and USAGE on its sequences$",
        )
        back_up(db, tmp_path / "crib.backup", NOW.date())
        with pytest.raises(StorageError, match=r"lacks what only the owner of the tables may do"):
            restore_data(db, tmp_path / "crib.backup", date(2031, 5, 2))

    assert contents(filled) == before


@pytest.mark.usefixtures("server")
def test_what_the_readme_grants_an_attendant_is_enough_to_write(filled: str) -> None:
    granted = re.findall(r"^GRANT (.* IN SCHEMA public) TO attendant;$", README.read_text(), re.MULTILINE)
    assert len(granted) == 2

    with looker(filled, *granted) as db:
        for act in (*READS.values(), *WRITES.values()):
            act(db)
    assert check_data(filled) == ()


@pytest.mark.usefixtures("server")
@pytest.mark.parametrize(
    ("kind", "grants", "message"),
    [
        ("filled", ["SELECT ON alembic_version"], "may not read all of it; .* SELECT on all its tables$"),
        (
            "empty",
            [],
            "it is empty, and the account “looker_.*” may not create tables .* CREATE on the schema$",
        ),
    ],
)
def test_an_account_that_may_not_even_read_or_set_up_sees_which_right_to_ask_for(
    tmp_path: Path, kind: str, grants: list[str], message: str
) -> None:
    with (
        database(kind, tmp_path / "crib.db") as name,
        looker(name, *grants) as db,
        pytest.raises(StorageError, match=message),
    ):
        list_pieces(db)


@pytest.mark.usefixtures("server")
def test_a_server_that_takes_no_changes_at_all_is_reported(filled: str) -> None:
    lend_piece(filled, "S-1", "Kim", at=NOW)
    databases.ask(f"ALTER DATABASE {name_in(filled)} SET default_transaction_read_only = on")

    read_and_refused(filled, r"the server is read-only now; ask its administrator$")


@pytest.mark.parametrize("closed", ["the file", "the folder", "both"])
def test_a_read_only_file_is_read_and_a_change_names_the_right_to_ask_for(
    filled_file: str, closed: str
) -> None:
    lend_piece(filled_file, "S-1", "Kim", at=NOW)
    path = Path(filled_file)
    before = path.read_bytes()
    path.chmod(0o600 if closed == "the folder" else 0o400)
    path.parent.chmod(0o700 if closed == "the file" else 0o500)
    try:
        with no_overriding():
            read_and_refused(
                filled_file,
                r"^“.*crib\.db”: this account may not change it; ask its owner for the right to write to the "
                r"file and to its folder$",
            )
    finally:
        path.parent.chmod(0o700)
    assert path.read_bytes() == before
    assert [each.name for each in path.parent.iterdir()] == ["crib.db"]


def test_a_file_that_may_not_even_be_read_is_reported(filled_file: str) -> None:
    Path(filled_file).chmod(0)

    with (
        no_overriding(),
        pytest.raises(StorageError, match=r"this account may not read it; ask its owner"),
        reading(filled_file),
    ):
        pass
