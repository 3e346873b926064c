"""Drafts in the user's data folder: one file each, so that two programs that count two drawers keep both."""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import suppress
from hashlib import sha256
from pathlib import Path

from broachplan import places
from broachplan.crib.drafts import CausesDraft, CountDraft, Draft, GuideDraft, HubDraft, WaitingDraft
from broachplan.errors import StorageError, quoted
from broachplan.private import make_private_folder
from broachplan.store.location import Location, reason
from broachplan.store.whole_file import take_place, written_beside

_FOLDER = "unfinished"
_ENDS = ".json"


def keep_draft(location: Location, draft: Draft) -> None:
    """Write a draft over the one before it; one with nothing in it is removed.

    Raises
    ------
    StorageError : the user's data folder cannot be written to.
    """
    folder = folder_of(location)
    path = folder / f"{_hashed(_about(draft))}{_ENDS}"
    try:
        if not draft:
            path.unlink(missing_ok=True)
            return
        make_private_folder(folder)
        with written_beside(path, json.dumps(_written(draft)).encode()) as made:
            take_place(made, path)
    except OSError as error:
        name = quoted(str(folder), most=200)
        raise StorageError(f"{name} cannot be written to: {reason(error)}") from error


def kept_drafts(location: Location) -> tuple[Draft, ...]:
    """What was not finished at this station, of this crib; files that hold no draft are passed over."""
    return tuple(_read(folder_of(location)))


def _read(folder: Path) -> Iterator[Draft]:
    for path in sorted(folder.glob(f"*{_ENDS}"), key=_when):
        # A draft that cannot be read is no reason to keep anybody from counting.
        with suppress(OSError, ValueError, TypeError, RecursionError):
            yield _draft(json.loads(path.read_bytes()))


def _when(path: Path) -> tuple[float, str]:
    """The order of writing; a file that is gone meanwhile comes first."""
    with suppress(OSError):
        return path.stat().st_mtime, path.name
    return 0.0, path.name


def crib_name(location: Location) -> str:
    """A name for a crib that any file system takes: of the file's own path, or of a server's name without the password."""
    crib = str(location.path.absolute()) if location.path is not None else location.place
    return _hashed(crib)


def folder_of(location: Location) -> Path:
    """A folder a crib."""
    return places.user_folder() / _FOLDER / crib_name(location)


def _hashed(text: str) -> str:
    """A name that any file system takes."""
    return sha256(text.encode(errors="surrogateescape")).hexdigest()[:24]


def _about(draft: Draft) -> str:
    match draft:
        case CountDraft(drawer=drawer):
            return f"drawer {drawer}"
        case CausesDraft(count=count):
            return f"count {count}"
        case GuideDraft(session=session):
            return f"guide {session}"
        case HubDraft():
            return "hub"
        case WaitingDraft(form=form, session=session):
            return f"waiting {form} {session}"


def _written(draft: Draft) -> dict[str, object]:
    if isinstance(draft, HubDraft):
        return {"hub": dict(draft.lines)}
    if isinstance(draft, CountDraft):
        return {"drawer": draft.drawer, "tags": list(draft.tags)}
    if isinstance(draft, GuideDraft):
        return {"session": draft.session, "words": dict(draft.words)}
    if isinstance(draft, WaitingDraft):
        return {"form": draft.form, "session": draft.session, "rows": [dict(row) for row in draft.rows]}
    return {"count": draft.count, "causes": dict(draft.causes), "stays": dict(draft.stays)}


def _draft(read: dict[str, object]) -> Draft:
    """A draft from the words of a file, which anybody may have changed: all of it is text, or it is none."""
    match read:
        case {"drawer": str(drawer), "tags": list(tags)}:
            return CountDraft(drawer, tuple(map(_text, tags)))
        case {"count": int(count), "causes": dict(causes), "stays": dict(stays)}:
            return CausesDraft(count, _texts(causes), _texts(stays))
        case {"session": str(session), "words": dict(words)}:
            return GuideDraft(session, _texts(words))
        case {"hub": dict(lines)}:
            return HubDraft(_texts(lines))
        case {"form": str(form), "session": str(session), "rows": list(rows)}:
            return WaitingDraft(form, session, tuple(map(_row, rows)))
    raise ValueError("no draft")


def _texts(read: dict[object, object]) -> dict[str, str]:
    return {_text(key): _text(value) for key, value in read.items()}


def _row(read: object) -> dict[str, str]:
    if not isinstance(read, dict):
        raise TypeError("no row")
    return _texts(read)


def _text(read: object) -> str:
    if not isinstance(read, str):
        raise TypeError("no text")
    return read
