"""A crib on a server: who waits for whom, and one line for everything that a server refuses."""

from __future__ import annotations

import sys
import threading
from collections.abc import Callable

import psycopg
import pytest
from sqlalchemy import select

from broachplan.errors import InputError, StorageError
from broachplan.store import engine as engine_module
from broachplan.store.tables import PIECE
from broachplan.store.transaction import Work
from broachplan.store.work import reading, writing
from tests import databases
from tests.databases import execute, name_in
from tests.desks.looking import list_pieces, show_piece

GOODBYE = (
    "SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE pid <> pg_backend_pid() AND datname = '{}'"
)


@pytest.mark.usefixtures("server")
def test_writers_take_turns_and_readers_do_not_wait_for_them(
    filled: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(engine_module, "BUSY_SECONDS", 0.05)

    with writing(filled) as work:
        work.connection.execute(PIECE.update().values(home="half way"))
        assert show_piece(filled, "B-250").record.home == "drawer 4"
        with (
            pytest.raises(StorageError, match=r"another program is writing to it; try again$"),
            writing(filled),
        ):
            pass


@pytest.mark.usefixtures("server")
def test_a_reader_sees_one_moment_and_cannot_write_by_mistake(filled: str) -> None:
    with reading(filled) as work:
        before = work.connection.scalars(select(PIECE.c.home)).all()
        execute(filled, "UPDATE piece SET home = 'elsewhere'")
        assert work.connection.scalars(select(PIECE.c.home)).all() == before
    with pytest.raises(StorageError, match=r"the server is read-only now"), reading(filled) as work:
        work.connection.execute(PIECE.update().values(home="mine"))

    assert show_piece(filled, "S-1").record.home == "elsewhere"


@pytest.mark.usefixtures("server")
def test_a_writer_sees_what_was_done_before_it_whatever_the_server_s_keeper_prefers(filled: str) -> None:
    databases.ask(f"ALTER DATABASE {name_in(filled)} SET default_transaction_isolation = 'serializable'")

    with writing(filled) as work:
        execute(filled, "UPDATE piece SET home = 'elsewhere'")
        assert work.connection.scalar(select(PIECE.c.home).limit(1)) == "elsewhere"


@pytest.mark.usefixtures("server")
def test_of_two_writers_that_wait_for_each_other_one_is_asked_to_try_again(filled: str, server: str) -> None:
    change = "UPDATE piece SET home = 'x' WHERE tag = '{}'"
    with psycopg.connect(host=server, dbname=name_in(filled), user="postgres") as other:
        # So that the program's own connection is the one that finds out.
        other.execute("SET deadlock_timeout = '60s'")
        other.execute(change.format("S-1"))
        with pytest.raises(StorageError, match=r"at the same moment; nothing was changed, try again$"):
            _meet(filled, other, change)


def _meet(db: str, other: psycopg.Connection, change: str) -> None:
    with writing(db) as work:
        work.connection.exec_driver_sql(change.format("B-250"))
        waits = threading.Thread(target=other.execute, args=(change.format("B-250"),))
        waits.start()
        try:
            work.connection.exec_driver_sql(change.format("S-1"))
        finally:
            work.connection.rollback()
            waits.join()


@pytest.mark.usefixtures("server")
def test_a_lost_connection_is_reported_without_a_claim_that_the_change_was_saved(filled: str) -> None:
    with pytest.raises(StorageError, match=r"nothing was changed, try again$"):
        _lose(filled, lambda work: work.connection.execute(select(PIECE.c.id)))
    with pytest.raises(StorageError, match=r": connection lost during the save; check"):
        _lose(filled, Work.commit)


def _lose(db: str, then: Callable[[Work], object]) -> None:
    with writing(db) as work:
        work.connection.execute(PIECE.update().values(home="x"))
        databases.ask(GOODBYE.format(name_in(db)))
        then(work)


@pytest.mark.parametrize(
    ("account", "where", "message"),
    [
        ("toolroom", "no_such_crib", "the server has no such database or account"),
        ("kim:wrong", "postgres", "the server has no such account, or the password is wrong"),
        ("nobody_here:x", "postgres", "the server has no such account, or the password is wrong"),
        ("kim", "postgres", "the server needs a password; write it in the URL, in PGPASSWORD or in a pas"),
        ("kim:secret", "closed", "the server accepts no connections to it now; ask its administrator"),
        ("one_at_most:secret", "postgres", "the server has no connection free; try again"),
        ("kim:secret", "locked", "this account may not connect to it; ask the server's administrator"),
        ("kim:secret", "latin", "keeps its text as “LATIN1”; a crib needs one made with the encoding UTF8"),
        ("kim:secret", "postgres&nonsense=1", "its URL has an option that the driver does not know"),
    ],
)
def test_a_server_that_lets_nobody_in_is_reported_in_one_line(
    server: str, account: str, where: str, message: str
) -> None:
    _prepare(server)
    name, _, option = where.partition("&")

    with (
        pytest.raises(StorageError) as caught,
        reading(f"postgresql://{account}@/{name}?host={server}&{option}"),
    ):
        pass

    assert str(caught.value).startswith((f"crib “{name}” cannot be used: ", "the database keeps"))
    assert message in str(caught.value)
    assert "secret" not in str(caught.value)


def _prepare(server: str) -> None:
    """Accounts and databases that nobody may use, made once for the workers of a run."""
    with psycopg.connect(host=server, dbname="postgres", user="postgres", autocommit=True) as connection:
        connection.execute("SELECT pg_advisory_lock(1)")
        if connection.execute("SELECT 1 FROM pg_roles WHERE rolname = 'kim'").fetchone():
            return
        for statement in (
            "CREATE ROLE kim LOGIN PASSWORD 'secret'",
            "CREATE ROLE one_at_most LOGIN PASSWORD 'secret' CONNECTION LIMIT 0",
            "CREATE DATABASE closed ALLOW_CONNECTIONS false",
            "CREATE DATABASE locked",
            "REVOKE CONNECT ON DATABASE locked FROM public",
            "CREATE DATABASE latin ENCODING LATIN1 LOCALE_PROVIDER libc LOCALE 'C' TEMPLATE template0",
        ):
            connection.execute(statement)


@pytest.mark.parametrize(
    ("url", "message"),
    [
        ("postgresql://127.0.0.1:1/crib", "no server answers there; is it running?"),
        ("postgres:///crib?host=/nowhere", "no server answers there; is it running?"),
        ("postgresql://no-such-machine.invalid/crib", "there is no machine of that name"),
        ("postgresql://127.0.0.1:1/crib?sslmode=nonsense", 'invalid sslmode value: "nonsense"'),
    ],
)
def test_a_server_that_is_not_there_is_reported_in_one_line(url: str, message: str) -> None:
    with pytest.raises(StorageError, match=rf"cannot be used: {message}"), reading(url):
        pass


@pytest.mark.usefixtures("server")
def test_every_way_to_name_a_database_on_a_server_is_understood(filled: str) -> None:
    for scheme in ("postgresql", "postgres", "postgresql+psycopg", " postgresql"):
        named = f"{scheme}://{filled.partition('://')[2]}"
        assert list_pieces(named).total == 6


def test_a_driver_that_is_not_there_is_named_with_what_installs_it(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "psycopg", None)  # type: ignore[misc]

    with (
        pytest.raises(StorageError, match=r"the driver psycopg is not installed"),
        reading("postgresql://h/other"),
    ):
        pass


@pytest.mark.parametrize("tag", ["a\0b", "\udcff"])
def test_characters_that_no_database_takes_are_reported_as_such(filled: str, tag: str) -> None:
    with pytest.raises(InputError, match=r"^read .*|^tag: read "):
        show_piece(filled, tag)


@pytest.mark.parametrize("tag", ["a" * 100_000, "%s", "%(a)s", ":a", "\\", "'", "b-250", "B-250 x"])
def test_a_tag_of_any_length_and_form_is_looked_for_and_not_obeyed(filled: str, tag: str) -> None:
    with pytest.raises(InputError, match="no such tag"):
        show_piece(filled, tag)
