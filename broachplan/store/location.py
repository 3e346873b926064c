"""Which database is meant, and a file for it that only its owner can read."""

from __future__ import annotations

import os
import re
from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import unquote

from broachplan import places
from broachplan.errors import StorageError, quoted
from broachplan.private import make_private_file, make_private_folder

# No path begins so. A mistyped URL of a server may hold a password and is never shown as a path.
_FOR_A_SERVER = re.compile(
    r"\s*([^/\\]*://|postgres\w*(\+\w+)?:|(host|hostaddr|port|user|password|dbname|service)\s*=)",
    re.ASCII | re.IGNORECASE,
)
_SCHEME = re.compile(r"\s*[a-z][a-z0-9+]*", re.ASCII | re.IGNORECASE)
_SQLITE_FILE = re.compile(r"sqlite(\+pysqlite)?:///", re.ASCII | re.IGNORECASE)
# What other programs take for SQLite's, and what would be a strange name for a file here.
_OTHER_SQLITE = re.compile(r"sqlite(\+\w+)?:|file:|:memory:$", re.ASCII | re.IGNORECASE)
# What may follow the ? of a SQLite URL, by SQLite's own rules: may the file be made, may it be changed?
_MODES = {"": (True, True), "mode=rwc": (True, True), "mode=rw": (False, True), "mode=ro": (False, False)}


@dataclass(frozen=True, slots=True)
class Location:
    """A SQLite file, or the URL of a database server: one of the two is set.

    A file is made where there is none if ``makes``, and may be changed if ``writes``.
    """

    path: Path | None = None
    url: str = field(default="", repr=False)
    makes: bool = True
    writes: bool = True

    @property
    def name(self) -> str:
        """What messages call it: a file by its path, a crib on a server by its name and the server's, never by its URL."""
        if self.path is not None:
            return quoted(str(self.path), most=200)
        server, _, crib = self._place.partition("/")
        if not crib:
            return self.place
        return f"crib {quoted(crib, most=200)}{f' on {quoted(server, most=200)}' if server else ''}"

    @property
    def place(self) -> str:
        """Where it is: a file by its path, a server by its URL without the password and what follows the name."""
        if self.path is not None:
            return quoted(str(self.path), most=200)
        scheme = self.url.partition("://")[0]
        if not self._place:
            begun = _SCHEME.match(scheme)
            return f"“{begun.group().strip() if begun else ''}…”"
        return quoted(f"{scheme.strip()}://{self._place}", most=200)

    @property
    def _place(self) -> str:
        """Server and crib in the URL; empty where only the server knows which characters belong to a password."""
        scheme, _, rest = self.url.partition("://")
        account, _, place = rest.rpartition("@")
        if not rest or "?" in account or not _SCHEME.fullmatch(scheme):
            return ""
        return place.partition("?")[0]

    @property
    def account(self) -> str:
        """What to call the account that its URL names."""
        name = self.url.partition("://")[2].rpartition("@")[0].partition(":")[0]
        return f"the account {quoted(unquote(name))}" if name and "?" not in name else "this account"


def located(db: str | None) -> Location:
    """The database of ``--db``, else of BROACHPLAN_DB, else the file in the user's data folder."""
    text = db if db is not None else os.environ.get(places.VARIABLE, "")
    if db is not None and not db.strip():
        raise StorageError("database: no name was given; name a file or a database URL")
    if not text:
        return Location(path=places.default_database())
    if "\0" in text or not _can_be_named(text):
        raise StorageError(
            "database: read a name with bytes that are no character; name a file or a database URL"
        )
    makes = writes = True
    if begun := _SQLITE_FILE.match(text):
        text, _, query = text[begun.end() :].partition("?")
        if query not in _MODES:
            raise StorageError(
                f"database: read {quoted(query)} behind the ? of a SQLite URL; write mode=ro, mode=rw or mode=rwc there, or nothing"
            )
        makes, writes = _MODES[query]
    if not text or _OTHER_SQLITE.match(text):
        raise StorageError(
            f"database: read {quoted(text)}, which names no file; write the file's path, or sqlite:///PATH"
        )
    if _FOR_A_SERVER.match(text):
        return Location(url=text)
    try:
        return Location(Path(text).expanduser(), makes=makes, writes=writes)
    except RuntimeError as error:
        raise StorageError(f"database: read {quoted(text)}; there is no such user's folder") from error


def _can_be_named(text: str) -> bool:
    """Whether the system can be asked for a file of that name."""
    try:
        os.fsencode(text)
    except UnicodeEncodeError:
        return False
    return True


def make_file(location: Location) -> None:
    """Make an absent SQLite file, open to its owner alone whatever the umask; the data folder too, where it is ours.

    Raises
    ------
    StorageError : the folder is missing or may not be written to, the name is a folder's, or the file is missing and
        is not to be made.
    """
    make_place(location)
    if location.path is None or not location.makes:
        return
    try:
        make_private_file(location.path)
    except OSError as error:
        raise StorageError(f"{location.name} cannot be opened: {reason(error)}") from error


def make_place(location: Location) -> None:
    """Make sure that a SQLite file can be where it should; make the data folder where it is ours.

    Raises
    ------
    StorageError : the folder is missing or may not be written to, the name is a folder's, or the file is missing and
        is not to be made.
    """
    path = location.path
    if path is None:
        return
    if not location.makes:
        existing_file(location)
    try:
        if path.parent == places.user_folder():
            make_private_folder(path.parent)
        if path.is_dir():
            raise StorageError(f"{location.name} is a folder; name a file in it")
        if not path.parent.is_dir():
            raise StorageError(
                f"{location.name}: there is no folder {quoted(str(path.parent), most=200)}; make it first"
            )
    except OSError as error:
        raise StorageError(f"{location.name} cannot be opened: {reason(error)}") from error


def check_writes(location: Location) -> None:
    """Raise `StorageError` where the database was named as one that is not to be changed."""
    if not location.writes:
        raise StorageError(
            f"{location.name} is named with mode=ro, so nothing in it is changed; leave that off to change it"
        )


def backup_place(location: Location) -> Path:
    """Where a copy of a server's crib is put by default: in the user's data folder, named as the database.

    Raises
    ------
    StorageError : there can be no such folder.
    """
    folder = places.user_folder()
    try:
        make_private_folder(folder)
    except OSError as error:
        raise StorageError(f"{quoted(str(folder), most=200)} cannot be made: {reason(error)}") from error
    name = re.sub(r"[^\w.-]", "_", location.url.partition("?")[0].rpartition("/")[2], flags=re.ASCII)
    return folder / f"{name.lstrip('.')[:100] or 'crib'}.backup"


def existing_file(location: Location) -> Path:
    """The SQLite file of a location, where there is one.

    Raises
    ------
    StorageError : there is none, or it cannot be looked for.
    """
    path = location.path
    assert path is not None
    try:
        if path.is_file():
            return path
        missing = "it is not a file" if path.exists() else "there is no such file"
    except OSError as error:
        raise StorageError(f"{location.name} cannot be opened: {reason(error)}") from error
    raise StorageError(f"{location.name}: {missing}")


def reason(error: OSError) -> str:
    """The system's own words, without numbers and paths."""
    return (error.strerror or type(error).__name__).lower()
