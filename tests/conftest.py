"""Which database the tests go through: SQLite files, or with ``--database postgresql`` a server of the run's own.

Tests say by their fixtures where they belong. Those that take `db` or `filled` hold on either database and are part
of both runs; those that take `server` are about PostgreSQL alone; all others are part of the plain run alone.
"""

from __future__ import annotations

import gc
import os
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, Phase, settings

# Screens are painted when a test has let them settle, not sixty times a second on the way there.
os.environ.setdefault("TEXTUAL_FPS", "1")

from tests import databases, ground  # isort: skip
from tests.faults.shim import compiler
from tests.postgres_server import NoServer, PostgresServer

_POSTGRESQL = "postgresql"
_SERVER = pytest.StashKey[PostgresServer]()
# The collector is slow where all libraries are loaded: at its own pace it took a fifth of the run.
gc.set_threshold(50_000, 20, 100)
# How long an example takes says more of what else the machine has to do. The normal run draws the same examples each
# time, so that a failure comes from the change that is tried; new ones are drawn by night. The long profile, for laws
# without a number of their own, is for the night too (--hypothesis-profile=long).
settings.register_profile("usual", deadline=None, max_examples=50, derandomize=True)
settings.register_profile("night", deadline=None, max_examples=50)
settings.register_profile("long", deadline=None, max_examples=2_000)
# A line that was changed is caught by the same examples in every run, and no smaller example is looked for.
settings.register_profile(
    "mutants",
    derandomize=True,
    deadline=None,
    database=None,
    phases=[Phase.explicit, Phase.generate],
    suppress_health_check=[HealthCheck.too_slow],
)
settings.load_profile("usual")


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption(
        "--database",
        choices=("sqlite", _POSTGRESQL),
        default="sqlite",
        help="Run what can be run on this database.",
    )


def pytest_configure(config: pytest.Config) -> None:
    """One server for the run; the workers of a parallel run find it in the environment."""
    if config.getoption("markexpr") == "nightly":
        settings.load_profile("night")
    if hasattr(config, "workerinput"):
        return
    os.environ.pop(databases.VARIABLE, None)
    if config.getoption("database") == _POSTGRESQL:
        try:
            config.stash[_SERVER] = server = PostgresServer()
        except NoServer as error:
            raise pytest.UsageError(str(error)) from error
        os.environ[databases.VARIABLE] = str(server.folder)
        databases.ask(f"CREATE ROLE {databases.KEEPER} LOGIN")


def pytest_unconfigure(config: pytest.Config) -> None:
    databases.forget()
    ground.forget()
    if server := config.stash.get(_SERVER, None):
        del os.environ[databases.VARIABLE], config.stash[_SERVER]
        server.stop()


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Say what could not be tried here."""
    if compiler() is None:
        terminalreporter.write_line(
            "no C compiler for Linux here: failing writes and power cuts were not tried"
        )


def pytest_collection_finish() -> None:
    """What is loaded by now stays to the end; the collector skips it."""
    gc.freeze()


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Leave out what belongs to the other run."""
    wanted = {"server", "either"} if databases.on_server() else set()

    def here(item: pytest.Item) -> bool:
        names = set(getattr(item, "fixturenames", ()))
        return bool(names & wanted) if wanted else "server" not in names

    config.hook.pytest_deselected(items=[item for item in items if not here(item)])
    items[:] = [item for item in items if here(item)]


@pytest.fixture
def tmp_path() -> Path:
    """The test's own folder, empty; the test after it has the same."""
    return ground.emptied("test")


@pytest.fixture(autouse=True)
def user_folder(monkeypatch: pytest.MonkeyPatch) -> Path:
    """The user's data folder of each test is its own, and no crib from outside reaches it."""
    monkeypatch.delenv("BROACHPLAN_DB", raising=False)
    folder = ground.emptied("user") / "data"
    monkeypatch.setenv("XDG_DATA_HOME", str(folder))
    return folder / "broachplan"


@pytest.fixture
def server() -> str:
    """The folder with the socket of the PostgreSQL server: this test is about it alone."""
    return os.environ[databases.VARIABLE]


@pytest.fixture
def either() -> None:
    """This test holds on either database."""


@pytest.fixture
def db(
    either: None,  # noqa: ARG001 - says that it holds on either
    request: pytest.FixtureRequest,
    tmp_path: Path,
) -> Iterator[str]:
    """The name of a database without pieces; a file is not even there yet."""
    kind = "filled" if "filled" in request.fixturenames else "new"
    with databases.database(kind, tmp_path / "crib.db") as name:
        yield name


@pytest.fixture
def filled(db: str) -> str:
    """A database with `small_crib` in it."""
    return db


@pytest.fixture
def empty(
    either: None,  # noqa: ARG001 - says that it holds on either
    tmp_path: Path,
) -> Iterator[str]:
    """The name of a database without tables; a file is not even there yet."""
    with databases.database("empty", tmp_path / "crib.db") as name:
        yield name


@pytest.fixture
def db_file(tmp_path: Path) -> str:
    """The name of a SQLite file that is not there yet, for what is about files alone."""
    return str(tmp_path / "crib.db")


@pytest.fixture
def filled_file(db_file: str) -> str:
    """A SQLite file with `small_crib` in it, for what is about files alone."""
    with databases.database("filled", Path(db_file)) as name:
        return name
