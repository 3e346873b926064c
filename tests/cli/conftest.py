"""A command line run as a user runs it: a process of its own, with data, state and environment of its own."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from broachplan.cli import app as frame
from broachplan.places import seed_inventory
from tests import ground
from tests.cli.hostile import Terminal, terminal
from tests.desks.doing import import_crib

Ran = subprocess.CompletedProcess[str]
Run = Callable[..., Ran]


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A home folder of the test's own; no terminal size, no crib and no colour from outside."""
    for name in ("HOME", "XDG_DATA_HOME", "XDG_STATE_HOME", "XDG_CONFIG_HOME", "XDG_CACHE_HOME"):
        monkeypatch.setenv(name, str(tmp_path / name.lower()))
    monkeypatch.setenv("COLUMNS", "80")
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("BROACHPLAN_DB", raising=False)
    return tmp_path


@pytest.fixture
def run(home: Path) -> Run:
    """Run ``broachplan`` with these arguments in a process; extra environment by name."""

    def _run(*arguments: str | bytes, **environment: str) -> Ran:
        return subprocess.run(
            [sys.executable, "-m", "broachplan", *arguments],
            capture_output=True,
            text=True,
            timeout=60,
            check=False,
            stdin=subprocess.DEVNULL,
            cwd=home,
            env={**os.environ, **environment},
        )

    return _run


@pytest.fixture
def run_here(
    home: Path,  # noqa: ARG001 - the test lives there
    capsys: pytest.CaptureFixture[str],
) -> Run:
    """The same in the test's own process, where a process of its own would prove nothing more: far quicker."""

    def _run(*arguments: str) -> Ran:
        code = frame.run(arguments)
        shown = capsys.readouterr()
        return subprocess.CompletedProcess([*arguments], int(code), shown.out, shown.err)

    return _run


@pytest.fixture(scope="session")
def demo_crib() -> bytes:
    """The file of a crib with the demo toolroom in it, made once: to be written where a test wants it."""
    file = ground.emptied("demo") / "crib.db"
    import_crib(str(file), [seed_inventory()])
    return file.read_bytes()


@pytest.fixture
def hostile_crib(
    home: Path,  # noqa: ARG001 - the crib lies there
    filled_file: str,
) -> Path:
    """A crib with one piece of each kind, for hostile text to come to."""
    return Path(filled_file)


@pytest.fixture
def at(hostile_crib: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Terminal]:
    """A terminal, and BROACHPLAN_DB naming that crib."""
    monkeypatch.setenv("BROACHPLAN_DB", str(hostile_crib))
    with terminal(monkeypatch) as made:
        yield made
