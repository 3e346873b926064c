"""Put pieces into a marked box, take them out of one, and make two boxes one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from broachplan.crib.entries import Act, Change
from broachplan.crib.words import checked_name
from broachplan.desks.attendant.clock import stamped
from broachplan.errors import CribStateError, InputError, quoted
from broachplan.store.entries import Line, record
from broachplan.store.pieces import mark
from broachplan.store.standings import Stood, in_set, standings, unknown
from broachplan.store.transaction import Work
from broachplan.store.work import writing

__all__ = ["Moved", "join_set", "split_set"]
_OF_SET = "set_name"


@dataclass(frozen=True, slots=True)
class Moved:
    """The tags that changed boxes, the box that they came from where it was one, and the box they are in; "" is none."""

    tags: tuple[str, ...]
    out_of: str
    into: str


def join_set(
    db: str | None,
    name: str,
    tags: Sequence[str] = (),
    *,
    of_set: str = "",
    by: str = "",
    at: datetime | None = None,
) -> Moved:
    """Put pieces into the set of a name, which may be a new one: those with the tags, and all of another set.

    Parameters
    ----------
    db : the database's path or URL; None takes the user's own.
    of_set : another set, which is joined to this one whole and is no more.
    by, at : who does it, and when; see `stamped`.

    Raises
    ------
    InputError : an unknown tag or set, a name that cannot be, nothing named.
    CribStateError : one of the pieces is retired.
    StorageError : the database cannot be used.
    """
    stamp, name = stamped(by, at), checked_name(name, "set")
    if not tags and not of_set.strip():
        raise InputError("join: nothing was named to put into the set; name pieces by their tags, or a set")
    with writing(db) as work:
        pieces = _tagged(work, tags)
        if of_set.strip():
            pieces += [stood for stood in in_set(work, of_set) if stood not in pieces]
        changed = [stood for stood in pieces if stood.set_name != name]
        lines = _put(work, changed, name)
        record(work, stamp, lines)
        work.commit()
    return Moved(tuple(stood.standing.tag for stood in changed), of_set.strip(), name)


def split_set(
    db: str | None,
    name: str,
    tags: Sequence[str] = (),
    *,
    into: str = "",
    by: str = "",
    at: datetime | None = None,
) -> Moved:
    """Take pieces out of a set: those with the tags, or without any all of them; ``into`` puts them into another set.

    Raises
    ------
    InputError : an unknown tag or set, or a name that cannot be.
    CribStateError : one of the pieces is not in the set.
    StorageError : the database cannot be used.
    """
    stamp, into = stamped(by, at), checked_name(into, "into") if into.strip() else ""
    with writing(db) as work:
        inside = in_set(work, name)
        name = inside[0].set_name
        pieces = _tagged(work, tags) if tags else inside
        for stood in pieces:
            if stood.set_name != name:
                where = f"is in {quoted(stood.set_name)}" if stood.set_name else "is in no set"
                raise CribStateError(f"{stood.standing.tag} is not in {quoted(name)}; it {where}")
        changed = [stood for stood in pieces if stood.set_name != into]
        record(work, stamp, _put(work, changed, into))
        work.commit()
    return Moved(tuple(stood.standing.tag for stood in changed), name, into)


def _tagged(work: Work, tags: Sequence[str]) -> list[Stood]:
    asked = list(dict.fromkeys(tag.strip() for tag in tags))
    found = standings(work, asked)
    there = {stood.standing.tag for stood in found}
    for tag in asked:
        if tag not in there:
            raise unknown(work, tag)
    for stood in found:
        if stood.standing.retired:
            raise CribStateError(f"{stood.standing.tag} is retired and belongs to no set any more")
    return found


def _put(work: Work, pieces: Sequence[Stood], name: str) -> list[Line]:
    mark(work, [stood.id for stood in pieces], **{_OF_SET: name})
    return [Line(stood.id, Act.CHANGED, (Change(_OF_SET, stood.set_name, name),)) for stood in pieces]
