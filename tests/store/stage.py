"""Commands run in processes that are killed on the way, or may not write beyond a size.

The libraries are loaded once, in a process with a single thread, and each command is forked from it: a run then takes
as long as its work, and a random moment lies within the work. Run as a program it reads one request a line.
"""

from __future__ import annotations

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
from dataclasses import dataclass
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[2]


@dataclass(frozen=True, slots=True)
class Run:
    """How a command ended: its exit code, or minus the signal; what it printed; how long it took, in seconds."""

    code: int
    out: str
    err: str
    seconds: float


class Stage:
    """The process that commands are forked from; ``migrations`` names a folder with the revision ``next``."""

    def __init__(self, home: Path, migrations: Path) -> None:
        own = {f"XDG_{name}_HOME": str(home / name.lower()) for name in ("DATA", "STATE", "CACHE", "CONFIG")}
        self._process = subprocess.Popen(
            [sys.executable, "-m", "tests.store.stage", str(migrations)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
            cwd=ROOT,
            env={**os.environ, **own, "HOME": str(home), "COLUMNS": "80"},
        )

    def run(
        self, arguments: Sequence[str], *, kill_after: float | None = None, most_bytes: int | None = None
    ) -> Run:
        """Run a command; with ``kill_after`` seconds killed then, with ``most_bytes`` unable to write further in a file."""
        assert self._process.stdin is not None
        assert self._process.stdout is not None
        print(
            json.dumps([*arguments]), json.dumps([kill_after, most_bytes]), sep="\n", file=self._process.stdin
        )
        self._process.stdin.flush()
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

    import broachplan.cli.crib_words
    import broachplan.desks.attendant.backup_data
    import broachplan.desks.attendant.import_crib
    import broachplan.desks.attendant.restore_data
    import broachplan.desks.attendant.shop_settings
    import broachplan.desks.attendant.upgrade_data
    from broachplan import places
    from broachplan.store import schema

    loaded = (alembic, sqlalchemy, broachplan)
    assert all(loaded)
    places.migrations = lambda: Path(migrations)
    # Only an upgrade is to know of it: the other commands work with the revision of today.
    known = schema.REVISIONS
    signal.pthread_sigmask(signal.SIG_BLOCK, [signal.SIGCHLD])
    while line := sys.stdin.readline():
        arguments = json.loads(line)
        kill_after, most_bytes = json.loads(sys.stdin.readline())
        schema.REVISIONS = (*known, "next") if "upgrade" in arguments else known
        print(json.dumps(_forked(arguments, kill_after, most_bytes)), flush=True)


def _forked(arguments: Sequence[str], kill_after: float | None, most_bytes: int | None) -> dict[str, Any]:
    pipes = [os.pipe(), os.pipe()]
    start = time.monotonic()
    child = os.fork()
    if child == 0:
        _act(arguments, most_bytes, [write for _, write in pipes])
    for _, write in pipes:
        os.close(write)
    if kill_after is not None:
        signal.sigtimedwait([signal.SIGCHLD], kill_after)
        os.kill(child, signal.SIGKILL)
    _, status = os.waitpid(child, 0)
    signal.sigtimedwait([signal.SIGCHLD], 0)
    told = []
    for read, _ in pipes:
        with open(read, encoding="utf-8") as file:
            told.append(file.read())
    seconds = time.monotonic() - start
    return {"code": os.waitstatus_to_exitcode(status), "out": told[0], "err": told[1], "seconds": seconds}


def _act(arguments: Sequence[str], most_bytes: int | None, writes: Sequence[int]) -> None:
    from broachplan.cli import app

    code = 99
    try:
        signal.pthread_sigmask(signal.SIG_UNBLOCK, [signal.SIGCHLD])
        for number, write in enumerate(writes, start=1):
            os.dup2(write, number)
        # Anew, for the old ones remember what kind of file they wrote to.
        streams = [io.FileIO(number, "w", closefd=False) for number in (1, 2)]
        sys.stdout, sys.stderr = (io.TextIOWrapper(stream, encoding="utf-8") for stream in streams)
        if most_bytes is not None:
            resource.setrlimit(resource.RLIMIT_FSIZE, (most_bytes, most_bytes))
        code = app.run(arguments)
    except BaseException:
        traceback.print_exc()
    finally:
        sys.stdout.flush()
        sys.stderr.flush()
        os._exit(code)


if __name__ == "__main__":
    main(sys.argv[1])
