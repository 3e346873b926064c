"""A crib in one file that vouches for every bit of itself.

The file: a line that names the form, a line with the SHA-256 of all that follows, a line of JSON with the revision, the
day and the length, and then the bytes of a SQLite file: as its backup interface gives them, or with every row of a
crib on a server. The first two lines are compared letter by letter, so that no bit lies outside what is checked.
"""

from __future__ import annotations

import json
import os
import sqlite3
from contextlib import closing
from dataclasses import dataclass
from datetime import date
from hashlib import sha256
from pathlib import Path

from sqlalchemy import Connection

from broachplan.errors import InputError, StorageError, quoted
from broachplan.store import schema
from broachplan.store.causes import driver_line
from broachplan.store.check import findings_in, in_short
from broachplan.store.engine import damages, engine_for
from broachplan.store.image import blank_image, image_of
from broachplan.store.location import Location, existing_file, located, reason
from broachplan.store.transaction import as_user_errors, one_moment
from broachplan.store.whole_file import COMPANIONS, UnsureError, check_places, take_places, written_beside

_FORM = b"broachplan backup 1\n"


@dataclass(frozen=True, slots=True)
class Backup:
    """What a backup holds: a crib of ``revision`` on the day ``made``, as the bytes of a SQLite file."""

    revision: str
    made: date
    content: bytes


@dataclass(frozen=True, slots=True)
class BackedUp:
    """What was backed up and where; ``size`` is the file's, in bytes; ``findings`` say what is wrong with the crib."""

    database: str
    file: Path
    revision: str
    size: int
    findings: tuple[str, ...] = ()


def back_up(
    db: str | None, file: Path, on: date, *, overwrite: bool = False, with_findings: bool = False
) -> BackedUp:
    """Write a backup of a crib, read it back, and only then give it its name.

    Parameters
    ----------
    db : the database's path or URL; None takes the user's own.
    file : the backup; one that is there already is replaced only with ``overwrite``.
    on : the day that the backup bears.
    with_findings : replace it even though the crib fails its check; a restore refuses what is written then.

    Raises
    ------
    InputError : the backup may not have this name.
    StorageError : the crib is not whole or fails its check where another backup would be replaced, the backup cannot be
        written, or it was not read back as it was written.
    """
    location = located(db)
    if location.path is not None:
        existing_file(location)
    check_places([file], "backup", crib_files(location), overwrite=overwrite)
    backup = taken(location, on)
    name = quoted(str(file), most=200)
    findings = findings_in(backup.content, backup.revision, location)
    if findings and file.exists() and not with_findings:
        raise StorageError(
            f"{location.name} fails its check ({in_short(findings)}), so {name} was not replaced; choose another name, or add --with-findings too"
        )
    data = packed(backup)
    try:
        with written_beside(file, data) as made:
            if read_backup(made) != backup:
                raise StorageError(f"{name} was not written: what was read back is something else")
            take_places({file: made}, overwrite=overwrite and (with_findings or not findings))
    except UnsureError as error:
        raise StorageError(
            f"{name} was written, but the disk did not confirm its name: {reason(error)}; make another backup"
        ) from error
    except OSError as error:
        raise StorageError(f"{name} could not be written: {reason(error)}") from error
    return BackedUp(location.name, file, backup.revision, len(data), findings)


def crib_files(location: Location) -> tuple[Path, ...]:
    """A crib's own file and what SQLite keeps beside it, whether they are there or not; none for one on a server."""
    if location.path is None:
        return ()
    # SQLite follows links too before it names what it keeps beside a file.
    path = Path(os.path.realpath(location.path))
    return (path, *(path.with_name(path.name + ending) for ending in COMPANIONS))


def packed(backup: Backup) -> bytes:
    """The bytes of a backup's file."""
    claimed = {"revision": backup.revision, "made": backup.made.isoformat(), "bytes": len(backup.content)}
    rest = json.dumps(claimed).encode() + b"\n" + backup.content
    return _FORM + sha256(rest).hexdigest().encode() + b"\n" + rest


def read_backup(file: Path) -> Backup:
    """The backup in a file, every bit of it checked, and the database in it too.

    Raises
    ------
    InputError : there is no such file.
    StorageError : it cannot be read, is no backup, or is not as it was written.
    """
    name = quoted(str(file), most=200)
    try:
        if "\0" in str(file) or not file.is_file():
            raise InputError(name, "there is no such file; name a backup")
        with file.open("rb") as opened:
            # The first line first: a large file of another kind is not read in.
            if opened.read(len(_FORM)) != _FORM:
                raise StorageError(f"{name} is not a backup of broachplan, or its first line is damaged")
            data = opened.read()
    except OSError as error:
        raise StorageError(f"{name} cannot be read: {reason(error)}") from error
    digest, rest = data[:65], data[65:]
    if digest != sha256(rest).hexdigest().encode() + b"\n":
        raise StorageError(f"{name} is damaged: it is not what was written; use another backup")
    backup = _unpacked(rest, name)
    with _memory() as connection:
        connection.deserialize(backup.content)
        _check_content(connection, backup.revision, name)
    return backup


def _unpacked(rest: bytes, name: str) -> Backup:
    line, _, content = rest.partition(b"\n")
    try:
        about = json.loads(line)
        backup = Backup(str(about["revision"]), date.fromisoformat(about["made"]), content)
        whole = 0 < about["bytes"] == len(content)
    except (ValueError, KeyError, TypeError, RecursionError) as error:
        raise StorageError(f"{name} is not a backup that this broachplan can read") from error
    if not whole:
        raise StorageError(f"{name} is not a backup that this broachplan can read: its length is wrong")
    return backup


def _check_content(connection: sqlite3.Connection, revision: str, name: str) -> None:
    try:
        damage = damages(connection)
        (found,) = connection.execute("SELECT version_num FROM alembic_version").fetchone() or ("",)
    except (sqlite3.Error, UnicodeDecodeError) as error:
        raise StorageError(f"{name} holds no crib that can be used: {driver_line(error)}") from error
    if damage:
        raise StorageError(f"{name} is damaged: {damage[0]}")
    if found != revision:
        raise StorageError(f"{name} claims revision {revision}, and holds a crib of revision {found}")


def taken(location: Location, on: date) -> Backup:
    """A crib as it is at one moment; another may be writing to it.

    Raises
    ------
    StorageError : there is none, it is of an unknown revision, or it is damaged.
    """
    if location.path is None:
        return _taken_from_server(location, on)
    existing_file(location)
    engine = engine_for(location)
    with as_user_errors(location, writes=False), engine.connect() as connection, _memory() as memory:
        revision = _known_revision(connection, location)
        # The reading transaction is open by now, so that this copies the same moment and waits for nobody.
        connection.connection.driver_connection.backup(memory)  # type: ignore[union-attr]
        _check_content(memory, revision, location.name)
        return Backup(revision, on, memory.serialize())


def _taken_from_server(location: Location, on: date) -> Backup:
    with as_user_errors(location, writes=False), engine_for(location).connect() as connection:
        one_moment(connection)
        return exported(connection, location, on, blank_image(_known_revision(connection, location)))


def exported(connection: Connection, location: Location, on: date, blank: bytes) -> Backup:
    """Every row of a crib on a server, as the transaction that ``connection`` is in sees it.

    ``blank`` is the image of its revision without a row.

    Raises
    ------
    StorageError : it is of an unknown revision, or its rows cannot be read whole.
    """
    revision = _known_revision(connection, location)
    try:
        content = image_of(connection, blank)
    except (ValueError, sqlite3.Error) as error:
        raise StorageError(f"{location.name} cannot be backed up: {error}") from error
    with _memory() as memory:
        memory.deserialize(content)
        _check_content(memory, revision, location.name)
    return Backup(revision, on, content)


def _known_revision(connection: Connection, location: Location) -> str:
    revision = schema.revision_of(connection)
    if revision not in schema.REVISIONS:
        schema.check_revision(revision, location)
    return str(revision)


def _memory() -> closing[sqlite3.Connection]:
    return closing(sqlite3.connect(":memory:"))
