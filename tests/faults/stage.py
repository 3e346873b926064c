"""Commands run in processes that are killed on the way, or whose disk fails them, or is listened to.

The libraries are loaded once, in a process with a single thread, and each command is forked from it: a run then takes
as long as its work, and a random moment lies within the work. Run as a program it reads one request a line.
"""

from __future__ import annotations

import ctypes
import io
import json
import os
import resource
import signal
import subprocess
import sys
import time
import traceback
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

CLOSED = "closed"
ROOT = Path(__file__).parents[2]


@dataclass(frozen=True, slots=True)
class Trouble:
    """What is done to a run; the last four need the shim.

    Attributes
    ----------
    kill_after : killed then, in seconds.
    most_bytes : unable to write further in a file.
    synchronous : SQLite's mode of that name instead of the program's own.
    output : what stdout goes to; ``closed`` where there is none.
    watched : the folder whose changes are counted.
    fail_at, error : which of them fails, and the system's number for why.
    for_good : all after it fail too.
    log : a file that every change is added to.
    """

    kill_after: float | None = None
    most_bytes: int | None = None
    synchronous: int | None = None
    output: str = ""
    watched: str = ""
    fail_at: int = 0
    error: int = 0
    for_good: bool = False
    log: str = ""


NONE = Trouble()


@dataclass(frozen=True, slots=True)
class Run:
    """How a command ended: its exit code, or minus the signal; what it printed; how long it took, in seconds.

    ``changes`` counts those below the watched folder, the failed one too.
    """

    code: int
    out: str
    err: str
    seconds: float
    changes: int


class Stage:
    """The process that commands are forked from; ``migrations`` names a folder with the revision ``next``."""

    def __init__(self, home: Path, migrations: Path, shim: Path | None = None) -> None:
        own = {f"XDG_{name}_HOME": str(home / name.lower()) for name in ("DATA", "STATE", "CACHE", "CONFIG")}
        before = {"LD_PRELOAD": str(shim)} if shim else {}
        self._process = subprocess.Popen(
            [sys.executable, "-m", "tests.faults.stage", str(migrations)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
            cwd=ROOT,
            env={**os.environ, **own, **before, "HOME": str(home), "COLUMNS": "80"},
        )

    def run(self, arguments: Sequence[str], home: Path, trouble: Trouble = NONE) -> Run:
        """Run a command whose user's data folder lies in ``home``."""
        assert self._process.stdin is not None
        assert self._process.stdout is not None
        request = {"arguments": [*arguments], "home": str(home), "trouble": asdict(trouble)}
        print(json.dumps(request), file=self._process.stdin, flush=True)
        return Run(**json.loads(self._process.stdout.readline()))

    def close(self) -> None:
        """End the process."""
        self._process.communicate(timeout=60)


def main(migrations: str) -> None:
    """Serve requests until there are no more."""
    # All that the commands load on their way.
    import alembic.command
    import alembic.config
    import sqlalchemy.dialects.sqlite

    from broachplan import places
    from broachplan.store import schema

    assert all((alembic, sqlalchemy))
    _load_commands()
    places.migrations = lambda: Path(migrations)
    # Only an upgrade is to know of it: the other commands work with the revision of today.
    known = schema.REVISIONS
    signal.pthread_sigmask(signal.SIG_BLOCK, [signal.SIGCHLD])
    while line := sys.stdin.readline():
        request = json.loads(line)
        schema.REVISIONS = (*known, "next") if "upgrade" in request["arguments"] else known
        shown = _forked(request["arguments"], request["home"], Trouble(**request["trouble"]))
        print(json.dumps(shown), flush=True)


def _load_commands() -> None:
    """Import every command, and every act of a person behind it."""
    import pkgutil
    from importlib import import_module

    import broachplan.cli
    import broachplan.desks

    for package in (broachplan.cli, broachplan.desks):
        for module in pkgutil.walk_packages(package.__path__, f"{package.__name__}."):
            if module.name != "broachplan.cli.screens":
                import_module(module.name)


def _forked(arguments: Sequence[str], home: str, trouble: Trouble) -> dict[str, Any]:
    pipes = [os.pipe() for _ in range(3)]
    start = time.monotonic()
    child = os.fork()
    if child == 0:
        _act(arguments, home, trouble, [write for _, write in pipes])
    for _, write in pipes:
        os.close(write)
    if trouble.kill_after is not None:
        signal.sigtimedwait([signal.SIGCHLD], trouble.kill_after)
        os.kill(child, signal.SIGKILL)
    _, status = os.waitpid(child, 0)
    signal.sigtimedwait([signal.SIGCHLD], 0)
    shown = []
    for read, _ in pipes:
        with open(read, encoding="utf-8") as file:
            shown.append(file.read())
    return {
        "code": os.waitstatus_to_exitcode(status),
        "out": shown[0],
        "err": shown[1],
        "seconds": time.monotonic() - start,
        "changes": int(shown[2] or 0),
    }


def _act(arguments: Sequence[str], home: str, trouble: Trouble, writes: Sequence[int]) -> None:
    from broachplan.cli import app

    code = 99
    try:
        signal.pthread_sigmask(signal.SIG_UNBLOCK, [signal.SIGCHLD])
        os.environ["XDG_DATA_HOME"] = home
        for number, write in enumerate(writes[:2], start=1):
            os.dup2(write, number)
        # New ones, since the old ones remember what kind of file they wrote to.
        streams = [io.FileIO(number, "w", closefd=False) for number in (1, 2)]
        if trouble.output:
            streams[0] = io.FileIO("/dev/null" if trouble.output == CLOSED else trouble.output, "w")
        sys.stdout, sys.stderr = (io.TextIOWrapper(stream, encoding="utf-8") for stream in streams)
        if trouble.output == CLOSED:
            # As the interpreter does where it finds no such file open.
            sys.stdout = None
        shim = _brought_about(trouble)
        code = app.run(arguments)
        if shim is not None:
            os.write(writes[2], str(shim.changes()).encode())
    except BaseException:
        traceback.print_exc()
    finally:
        for stream in filter(None, (sys.stdout, sys.stderr)):
            with suppress(OSError):
                stream.flush()
        os._exit(code)


def _brought_about(trouble: Trouble) -> ctypes.CDLL | None:
    """Let the trouble begin; gives the shim where there is need of it."""
    if trouble.most_bytes is not None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (trouble.most_bytes, trouble.most_bytes))
    if trouble.synchronous is not None:
        from broachplan.store import engine

        engine._MODES["synchronous"] = trouble.synchronous
    if not trouble.watched:
        return None
    shim = ctypes.CDLL(os.environ["LD_PRELOAD"])
    shim.changes.restype = ctypes.c_long
    shim.arm.argtypes = (ctypes.c_char_p, ctypes.c_long, ctypes.c_int, ctypes.c_int, ctypes.c_int)
    log = os.open(trouble.log, os.O_WRONLY | os.O_CREAT | os.O_APPEND, 0o600) if trouble.log else -1
    shim.arm(trouble.watched.encode(), trouble.fail_at, trouble.error, trouble.for_good, log)
    return shim


if __name__ == "__main__":
    main(sys.argv[1])
