"""Whether anybody wrote to a crib since somebody looked, found out without asking for a row.

A server says so by itself (NOTIFY, sent by each writing transaction when it is kept). A SQLite file has a counter of
changes, which its own library reads: to open the file beside it and close it again would drop the locks that this
program holds on it.
"""

from __future__ import annotations

import os
import select
import socket
import sqlite3
from collections.abc import Callable
from contextlib import closing, suppress
from pathlib import Path
from threading import Lock, Thread
from typing import Any

from sqlalchemy.exc import SQLAlchemyError

from broachplan.errors import StorageError
from broachplan.store.engine import WRITTEN, engine_for
from broachplan.store.location import Location, located
from broachplan.store.patience import at_a_screen

# Seconds between two looks at a file, and between two tries to reach a server. A server that is there is not looked at.
_LOOK_EVERY, _TRY_EVERY = 1.0, 5.0
_LEAVING = 0.2


class CribWatch:
    """Counts what was written to a crib since the watch was begun; `mark` never waits for a server."""

    def __init__(self, db: str | None) -> None:
        self._location: Location = located(db)
        self._lock = Lock()
        self._count = 0
        self._file: sqlite3.Connection | None = None
        self._seen: object = None
        self._server: Any = None
        self._ended = False
        self._wake, self._woken = socket.socketpair()
        self._thread: Thread | None = None
        self.mark()

    def start(self, tell: Callable[[int], object]) -> None:
        """Call ``tell`` with the new mark, in a thread, whenever the crib was written to."""
        self._thread = Thread(target=self._run, args=(tell,), daemon=True)
        self._thread.start()

    def close(self) -> None:
        """End; nothing is open any more then, but for a server that does not answer."""
        self._ended = True
        self._wake.send(b"x")
        if self._thread is not None:
            # It may be waiting for a server that is frozen; nobody who leaves waits for that.
            self._thread.join(_LEAVING)
        with self._lock:
            for each in (self._file, self._server, self._wake, self._woken):
                if each is not None:
                    each.close()
            self._file = self._server = None

    def mark(self) -> int:
        """The count as it is now: another one later means that something was written meanwhile."""
        with self._lock:
            if self._location.path is not None:
                # A writer at work keeps the counter to itself; what it writes is seen the next time.
                with suppress(OSError, sqlite3.Error):
                    self._look_at_file(str(self._location.path))
            elif self._server is not None:
                self._hear()
            return self._count

    def wait(self, seconds: float | None = None) -> None:
        """Wait until it is time to look, or until a server says something; ``seconds`` in place of its own time."""
        if self._location.path is not None:
            self._sleep(_LOOK_EVERY if seconds is None else seconds)
            return
        if self._server is None and not self._listen():
            self._sleep(_TRY_EVERY if seconds is None else seconds)
        if self._server is not None:
            self._sleep(seconds, self._server.fileno())

    def _run(self, tell: Callable[[int], object]) -> None:
        said = self._count
        while not self._ended:
            self.wait()
            if (now := self.mark()) != said and not self._ended:
                tell(said := now)

    def _sleep(self, seconds: float | None, *files: int) -> None:
        on: list[Any] = [self._woken, *files]
        with suppress(OSError, ValueError):  # the connection was lost meanwhile
            select.select(on, [], [], seconds)

    def _look_at_file(self, path: str) -> None:
        # After a restore the name is another file's.
        kept = os.stat(path)
        file = kept.st_dev, kept.st_ino
        if self._file is None or not isinstance(self._seen, tuple) or self._seen[:2] != file:
            if self._file is not None:
                self._file.close()
            uri = f"{Path(path).absolute().as_uri()}?mode=ro"
            self._file = sqlite3.connect(
                uri, uri=True, timeout=0, isolation_level=None, check_same_thread=False
            )
        with closing(self._file.execute("PRAGMA data_version")) as found:
            seen = (*file, found.fetchone()[0])
        if seen != self._seen:
            self._seen, self._count = seen, self._count + 1

    def _listen(self) -> bool:
        """Connect; what was written meanwhile is not known, so the crib counts as changed."""
        try:
            with at_a_screen():
                connection = engine_for(self._location).raw_connection()
            server: Any = connection.driver_connection
            connection.detach()
            server.autocommit = True
            server.execute(f"LISTEN {WRITTEN}")
        except (StorageError, SQLAlchemyError, server_errors()):
            return False
        with self._lock:
            if self._ended:
                server.close()
                return False
            self._server, self._count = server, self._count + 1
        return True

    def _hear(self) -> None:
        try:
            self._server.pgconn.consume_input()
            while self._server.pgconn.notifies() is not None:
                self._count += 1
        except server_errors():
            self._server.close()
            self._server, self._count = None, self._count + 1


def server_errors() -> type[Exception]:
    """What the driver of a server raises; a program that only has files need not load it."""
    from psycopg import Error

    return Error
