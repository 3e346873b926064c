"""Count a drawer blind: what was found is given first, what the books expect is shown only then."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from broachplan.crib.counts import ComparedLine, Count, compared
from broachplan.desks.attendant.clock import stamped
from broachplan.desks.attendant.list_counts import ShownCount
from broachplan.errors import InputError
from broachplan.questions.acts import CountRequest
from broachplan.questions.reads import DrawerRequest
from broachplan.store.counts import drawer_named, in_books, keep, placed, seen
from broachplan.store.csv_file import MOST_BYTES, decoded, load, shown_name
from broachplan.store.work import reading, writing
from broachplan.tooling.tags import checked_tag

__all__ = [
    "MOST_BYTES",
    "ComparedLine",
    "Count",
    "Counted",
    "count_drawer",
    "drawer_to_count",
    "tags_in",
    "tags_in_file",
]


@dataclass(frozen=True, slots=True)
class Counted(ShownCount):
    """A count that was kept, its lines beside the books, and the tags that were given more than once."""

    twice: tuple[str, ...] = ()


def drawer_to_count(db: str | None, request: DrawerRequest) -> str:
    """The drawer that a text names, as the books spell it, before anybody looks into it, and nothing more.

    Raises
    ------
    InputError : no piece lives in it; the message names those most like it.
    StorageError : the database cannot be used.
    """
    with reading(db) as work:
        return str(drawer_named(work, request.drawer))


def count_drawer(db: str | None, request: CountRequest, *, at: datetime | None = None) -> Counted:
    """Keep what was found in a drawer, and how it differs from the books. Nothing else is changed.

    Parameters
    ----------
    db : the database's path or URL; None takes the user's own.
    at : when; see `stamped`.

    Raises
    ------
    InputError : a drawer that no piece lives in, what can be no tag, or a name that cannot be.
    StorageError : the database cannot be used.
    """
    stamp = stamped(request.by, at)
    tags = [checked_tag(tag) for tag in map(str.strip, request.tags) if tag]
    found = tuple(dict.fromkeys(tags))
    with writing(db) as work:
        home = drawer_named(work, request.drawer)
        count = keep(work, home, stamp, compared(home, map(placed, in_books(work, home, found)), found))
        beside = seen(work, count)
        work.commit()
    twice = tuple(tag for tag, times in Counter(tags).items() if times > 1)
    return Counted(count, beside, twice)


def tags_in_file(path: Path) -> tuple[str, ...]:
    """The tags in a text file, one a line; see `tags_in`."""
    name = shown_name(path.name)
    return _tags(name, load(path, name).text)


def tags_in(name: str, data: bytes) -> tuple[str, ...]:
    """The tags in a text of UTF-8, one a line; empty lines are ignored.

    Raises
    ------
    InputError : it is no text or too long, or a line holds what can be no tag; ``name`` begins the message.
    """
    return _tags(name, decoded(data, name).text)


def _tags(name: str, text: str) -> tuple[str, ...]:
    tags = []
    for number, line in enumerate(text.splitlines(), 1):
        if tag := line.strip():
            try:
                tags.append(checked_tag(tag))
            except InputError as error:
                raise InputError(f"{name}, line {number}", str(error)) from error
    return tuple(tags)
