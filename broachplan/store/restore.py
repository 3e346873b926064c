"""A crib put back from its backup. What was there before is kept under a dated name, and never for a moment missing."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator
from contextlib import ExitStack, closing, contextmanager
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from sqlalchemy.exc import DBAPIError

from broachplan import saved
from broachplan.errors import InputError, StorageError, quoted
from broachplan.private import sync_folder
from broachplan.store import schema
from broachplan.store.backup import Backup, read_backup
from broachplan.store.causes import is_damage
from broachplan.store.check import findings_in, in_short
from broachplan.store.engine import BUSY_SECONDS, WRITES, engine_for
from broachplan.store.location import Location, check_writes, located, make_place, reason
from broachplan.store.server_restore import restore_on_server
from broachplan.store.transaction import as_user_errors
from broachplan.store.whole_file import COMPANIONS, UnsureError, dated_name, take_place, written_beside


@dataclass(frozen=True, slots=True)
class Restored:
    """What was restored: a crib of ``revision`` as backed up on ``made``.

    ``kept`` is the file with the data that was there; ``aside`` the schema with it, on a server. A server's crib is
    brought to this program's revision on the way.
    """

    database: str
    revision: str
    current: bool
    made: date
    kept: Path | None
    aside: str = ""


def restore(db: str | None, file: Path, on: date) -> Restored:
    """Put a crib back from a backup; ``on`` dates the name under which the data that was there is kept.

    Raises
    ------
    InputError : there is no such backup, or it is named as the crib itself.
    StorageError : the backup is damaged, of an unknown revision, or holds a crib that fails its check, or the crib is
        in use; nothing was changed.
    """
    location = located(db)
    check_writes(location)
    backup = read_backup(file)
    if location.path is None:
        _check_content(backup, file)
        aside = restore_on_server(location, backup.content, backup.revision, on)
        return Restored(location.name, schema.current(), True, backup.made, None, aside)
    make_place(location)
    _check(backup, file, location)
    assert location.path is not None
    try:
        # A link is followed, as SQLite does: what it points to is the crib.
        path = location.path.resolve()
        with written_beside(path, backup.content) as made:
            if made.read_bytes() != backup.content:
                raise StorageError(
                    f"{location.name} was not restored: the read-back differs from what was written"
                )
            kept = _swapped(location, path, made, on)
    except UnsureError as error:
        raise StorageError(
            f"{location.name} is restored, but the disk did not confirm it: {reason(error)}; check it before you continue"
        ) from error
    except OSError as error:
        raise StorageError(f"{location.name} was not restored and is as it was: {reason(error)}") from error
    saved.note()
    return Restored(location.name, backup.revision, backup.revision == schema.current(), backup.made, kept)


def _check(backup: Backup, file: Path, location: Location) -> None:
    assert location.path is not None
    if location.path.exists() and file.samefile(location.path):
        raise InputError(
            "",
            f"{quoted(str(file), most=200)} is named as the crib and as the backup; name another file with --db",
        )
    _check_content(backup, file)


def _check_content(backup: Backup, file: Path) -> None:
    """Raise `StorageError` unless the crib in a backup is one that the program could have written."""
    if backup.revision not in schema.REVISIONS:
        schema.check_revision(backup.revision, Location(path=file))
    if findings := findings_in(backup.content, backup.revision, Location(path=file)):
        raise StorageError(
            f"{quoted(str(file), most=200)} holds a crib that fails its check ({in_short(findings)}); nothing was changed, use another backup"
        )


def _swapped(location: Location, path: Path, made: Path, on: date) -> Path | None:
    """Give ``made`` the crib's name; where the data that was there is then."""
    if not path.exists():
        for ending in COMPANIONS:
            # What is left of data that is gone can undo nothing, and SQLite would take it for the restored crib's.
            path.with_name(path.name + ending).unlink(missing_ok=True)
        sync_folder(path.parent)
        take_place(made, path)
        return None
    with _held(location):
        kept = dated_name(path, on)
        try:
            os.link(path, kept)
        except FileExistsError:
            raise
        except OSError:
            # Some file systems know no second name for a file.
            with written_beside(kept, path.read_bytes()) as copy:
                copy.replace(kept)
        for ending in COMPANIONS:
            # Left there, SQLite would take it for the restored crib's.
            companion = path.with_name(path.name + ending)
            if companion.exists():
                companion.replace(kept.with_name(kept.name + ending))
        sync_folder(path.parent)
        take_place(made, path)
    return kept


@contextmanager
def _held(location: Location) -> Iterator[None]:
    """Hold the write lock of the data that is there; a write cut short in it is undone first.

    One that waits for the lock meanwhile is refused by SQLite, for its file has another name then.
    """
    with ExitStack() as stack:
        engine = engine_for(location)
        try:
            with as_user_errors(location):
                stack.enter_context(engine.connect().execution_options(**{WRITES: True})).begin()
        except StorageError as error:
            if not _is_past_use(error, location):
                raise
            # It is what a restore is for. A program that opened it before it was damaged may still be writing to it.
            _hold_damaged(stack, location)
        yield


def _hold_damaged(stack: ExitStack, location: Location) -> None:
    """Take the write lock of a damaged file, if SQLite can still open it."""
    assert location.path is not None
    file = f"{location.path.absolute().as_uri()}?mode=rw"
    bare = stack.enter_context(closing(sqlite3.connect(file, uri=True, timeout=BUSY_SECONDS)))
    try:
        with as_user_errors(location):
            bare.execute("BEGIN IMMEDIATE")
    except StorageError as error:
        if not _is_past_use(error, location):
            raise


def _is_past_use(error: StorageError, location: Location) -> bool:
    """Whether a crib cannot be opened for what its file holds, and not for who uses it or for a right that is lacking."""
    cause = error.__cause__
    code = getattr(cause.orig if isinstance(cause, DBAPIError) else cause, "sqlite_errorcode", None)
    if code == sqlite3.SQLITE_READONLY:
        # The number in its header of a form that SQLite may read and not write.
        assert location.path is not None
        return os.access(location.path, os.W_OK)
    return is_damage(cause) or code == sqlite3.SQLITE_ERROR
