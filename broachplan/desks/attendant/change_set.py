"""Put pieces into a marked box, take them out of one, and make two boxes one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from broachplan.crib.entries import Act, Change
from broachplan.crib.words import checked_name
from broachplan.desks.attendant.clock import stamped
from broachplan.errors import CribStateError, InputError, quoted
from broachplan.questions.acts import JoinRequest, SplitRequest
from broachplan.store.entries import ActLine, record
from broachplan.store.pieces import mark
from broachplan.store.stored_pieces import StoredPiece, in_set, stored_pieces, unknown
from broachplan.store.transaction import Work
from broachplan.store.work import writing

__all__ = ["Moved", "join", "split"]
_OF_SET = "set_name"


@dataclass(frozen=True, slots=True)
class Moved:
    """The tags that changed boxes, the box that they came from where it was one, and the box they are in; "" is none."""

    tags: tuple[str, ...]
    out_of: str
    into: str

    @property
    def lines(self) -> tuple[str, ...]:
        """What is in which box now."""
        tags = ", ".join(self.tags)
        if not tags:
            return (f"all of it is in {f'set {self.into}' if self.into else 'no set'} already",)
        out_of = f" taken out of set {self.out_of}" if self.out_of else ""
        into = f" put into set {self.into}" if self.into else ""
        return (f"{tags}{' and'.join(filter(None, (out_of, into)))}",)


def join(db: str | None, request: JoinRequest, *, at: datetime | None = None) -> Moved:
    """Put pieces, and all of another set where one is named, into a set, which may be a new one.

    Parameters
    ----------
    db : the database's path or URL; None takes the user's own.
    at : when; see `stamped`.

    Raises
    ------
    InputError : an unknown tag or set, a name that cannot be, nothing named.
    CribStateError : one of the pieces is retired.
    StorageError : the database cannot be used.
    """
    stamp, name = stamped(request.by, at), checked_name(request.into, "set")
    other = request.set_name.strip()
    if not request.tags and not other:
        raise InputError("join", "nothing was named to put into the set; name pieces by their tags, or a set")
    with writing(db) as work:
        pieces = _tagged(work, request.tags)
        if other:
            pieces += [stored for stored in in_set(work, other) if stored not in pieces]
        changed = [stored for stored in pieces if stored.set_name != name]
        lines = _put(work, changed, name)
        record(work, stamp, lines)
        work.commit()
    return Moved(tuple(stored.status.tag for stored in changed), other, name)


def split(db: str | None, request: SplitRequest, *, at: datetime | None = None) -> Moved:
    """Take pieces, or without tags all of them, out of a set, and put them into another where one is named.

    Raises
    ------
    InputError : an unknown tag or set, or a name that cannot be.
    CribStateError : one of the pieces is not in the set.
    StorageError : the database cannot be used.
    """
    stamp = stamped(request.by, at)
    into = checked_name(request.into, "into") if request.into.strip() else ""
    with writing(db) as work:
        inside = in_set(work, request.out_of)
        name = inside[0].set_name
        pieces = _tagged(work, request.tags) if request.tags else inside
        for stored in pieces:
            if stored.set_name != name:
                where = f"is in {quoted(stored.set_name)}" if stored.set_name else "is in no set"
                raise CribStateError(f"{stored.status.tag} is not in {quoted(name)}; it {where}")
        changed = [stored for stored in pieces if stored.set_name != into]
        record(work, stamp, _put(work, changed, into))
        work.commit()
    return Moved(tuple(stored.status.tag for stored in changed), name, into)


def _tagged(work: Work, tags: Sequence[str]) -> list[StoredPiece]:
    asked = list(dict.fromkeys(tag.strip() for tag in tags))
    found = stored_pieces(work, asked)
    there = {stored.status.tag for stored in found}
    for tag in asked:
        if tag not in there:
            raise unknown(work, tag)
    for stored in found:
        if stored.status.retired:
            raise CribStateError(f"{stored.status.tag} is retired and belongs to no set any more")
    return found


def _put(work: Work, pieces: Sequence[StoredPiece], name: str) -> list[ActLine]:
    mark(work, [stored.id for stored in pieces], **{_OF_SET: name})
    return [ActLine(stored.id, Act.CHANGED, (Change(_OF_SET, stored.set_name, name),)) for stored in pieces]
