"""What a database driver raised, as one line that a user can act on."""

from __future__ import annotations

import os
import re
import sqlite3
from pathlib import Path

from sqlalchemy.exc import DBAPIError

from broachplan.errors import passwords_in, quoted
from broachplan.store.location import Location

# PostgreSQL's codes for what an account may not do, and for a table that is not there.
FORBIDDEN = "42501"
NO_TABLE = "42P01"
_DAMAGE = (sqlite3.SQLITE_NOTADB, sqlite3.SQLITE_CORRUPT)
_AGAIN = "nothing was changed, try again"
_BUSY = "another program is writing to it; try again"
# PostgreSQL's codes, which are the same in every language, in words.
_BY_STATE = {
    "25006": "the server is read-only now; ask its administrator",
    "25P03": f"the server ended the connection, which was idle; {_AGAIN}",
    "40001": f"others were changing it at the same moment; {_AGAIN}",
    "40P01": f"others were changing it at the same moment; {_AGAIN}",
    "53100": "the server's disk is full; nothing was changed",
    "53300": "the server has no connection free; try again",
    "55P03": _BUSY,
    "57014": f"the server cancelled it because it took too long; {_AGAIN}",
    "57P01": f"the server is stopping; {_AGAIN}",
    "57P02": f"the server is stopping; {_AGAIN}",
    "57P03": "the server is starting or stopping; try again",
    "57P04": "the database was removed while it was in use",
}
# A connection that was never made has no code. A server may write these in another language: they then stay as they are.
_BY_WORDS = {
    "password authentication failed": "the server has no such account, or the password is wrong",
    "no password supplied": "the server needs a password; write it in the URL, in PGPASSWORD or in a password file",
    "does not exist": "the server has no such database or account",
    "Connection refused": "no server answers there; is it running?",
    "Is the server running": "no server answers there; is it running?",
    "failed to resolve host": "there is no machine of that name",
    "timeout expired": "no server answers there in time",
    "no answer in time": f"the server does not answer; {_AGAIN}",
    "permission denied for database": "this account may not connect to it; ask the server's administrator",
    "no pg_hba.conf entry": "the server does not let this account connect from here; ask its administrator",
    "not currently accepting connections": "the server accepts no connections to it now; ask its administrator",
    "too many c": "the server has no connection free; try again",
    "starting up": "the server is starting or stopping; try again",
    "shutting down": "the server is starting or stopping; try again",
    "server closed the connection": f"the connection to the server was lost; {_AGAIN}",
    "connection is lost": f"the connection to the server was lost; {_AGAIN}",
    "SSL SYSCALL": f"the connection to the server was lost; {_AGAIN}",
    "invalid connection option": "its URL has an option that the driver does not know",
    "database is locked": _BUSY,
    "busy": _BUSY,
    "not a database": "it is not a database",
}


def error_line(error: DBAPIError | sqlite3.Error, location: Location, *, writes: bool = True) -> str:
    """The line that reports it, without a password; ``writes`` says whether something was to be changed."""
    first = _first(error)
    cause = first.orig if isinstance(first, DBAPIError) else first
    if forbidden := _forbidden(cause, location, writes):
        return f"{location.name}: {forbidden}"
    return f"{location.name} cannot be used: {_why(cause, location)}"


def _first(error: BaseException) -> BaseException:
    """What went wrong first: SQLite undoes a whole transaction on a full disk, and undoing a part of it then fails too."""
    found: BaseException | None = error
    while found is not None and "no such savepoint" in str(found):
        found = found.__context__
    return error if found is None else found


def _forbidden(cause: BaseException | None, location: Location, writes: bool) -> str:
    """What the account may not do, and what to ask for."""
    if getattr(cause, "sqlstate", None) == FORBIDDEN:
        keeper = "ask the server's administrator to grant it"
        if not writes:
            return f"{location.account} may not read all of it; {keeper} USAGE on its schema and SELECT on all its tables"
        return f"{location.account} may not change it; {keeper} INSERT, UPDATE and DELETE on all its tables and USAGE on its sequences"
    code, path = getattr(cause, "sqlite_errorcode", 0), location.path
    if path is None or code == sqlite3.SQLITE_READONLY_DBMOVED:
        return ""
    if code == sqlite3.SQLITE_READONLY_ROLLBACK:
        return "a write to it was cut short, and this account may not undo that; ask someone who may write to it to run any command first"
    if _makes_no_journal(cause, path):
        return ""
    if code & 0xFF == sqlite3.SQLITE_READONLY or (
        code & 0xFF == sqlite3.SQLITE_CANTOPEN and _may(path, os.R_OK)
    ):
        return "this account may not change it; ask its owner for the right to write to the file and to its folder"
    if code & 0xFF == sqlite3.SQLITE_CANTOPEN and path.exists():
        return "this account may not read it; ask its owner for the right to read and to write the file"
    return ""


def _makes_no_journal(cause: BaseException | None, path: Path | None) -> bool:
    """Whether SQLite could open no file beside one that this account may write to."""
    if path is None or getattr(cause, "sqlite_errorcode", 0) & 0xFF != sqlite3.SQLITE_CANTOPEN:
        return False
    return _may(path, os.W_OK) and _may(path.parent, os.W_OK | os.X_OK)


def _may(path: Path, what: int) -> bool:
    return os.access(path, what, effective_ids=os.access in os.supports_effective_ids)


def _why(cause: BaseException | None, location: Location) -> str:
    if _makes_no_journal(cause, location.path):
        return "no journal could be made beside it; is the disk full?"
    if getattr(cause, "sqlite_errorcode", None) == sqlite3.SQLITE_READONLY_DBMOVED:
        return "another file took its place meanwhile, as a restore does; try again"
    if known := _BY_STATE.get(getattr(cause, "sqlstate", None) or ""):
        return known
    said = str(cause).strip()
    if known := next((phrase for words, phrase in _BY_WORDS.items() if words in said), None):
        return known
    line = re.sub(
        r"^connection (failed|is bad): |connection to server .* failed: ", "", said.partition("\n")[0]
    )
    if any(secret in line for secret in passwords_in(location.url)):
        return "its server refused the connection"
    return line.lower()


def may_make_no_tables(location: Location) -> str:
    """The line for an account that finds an empty database and may not set it up."""
    return f"{location.name}: it is empty, and {location.account} may not create tables in it; ask the server's administrator to grant it CREATE on the schema"


def is_forbidden(error: DBAPIError) -> bool:
    """Whether a server refused it because the account may not do it."""
    return getattr(error.orig, "sqlstate", None) == FORBIDDEN


def is_damage(error: BaseException | None) -> bool:
    """Whether a file is no database, or one whose content makes no sense to SQLite."""
    if isinstance(error, UnicodeDecodeError):
        return True
    cause = error.orig if isinstance(error, DBAPIError) else error
    return getattr(cause, "sqlite_errorcode", 0) & 0xFF in _DAMAGE


def driver_line(error: Exception) -> str:
    """The first line of what was raised, in lower case as part of a sentence."""
    if isinstance(error, UnicodeDecodeError):
        # SQLite repeats the part of its schema that makes no sense, and its driver cannot read that as text.
        return quoted(error.object.decode(errors="replace"), most=100)
    cause = error.orig if isinstance(error, DBAPIError) else error
    return str(cause).strip().partition("\n")[0].lower()
