"""A set comes back by its list: only what one person has of it, what is there, what is worn, what is lost."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Sequence
from dataclasses import dataclass

from broachplan.crib.records import Condition
from broachplan.crib.words import read_tag_list
from broachplan.errors import CribStateError, InputError, quoted
from broachplan.questions.acts import ReturnRequest
from broachplan.shown import numbered
from broachplan.store.stored_pieces import StoredPiece


@dataclass(frozen=True, slots=True)
class SetReturn:
    """What one person brings back of a set: the pieces that are ``back``, each with its condition, those that are
    ``lost``, and those that stay ``out``."""

    back: tuple[tuple[StoredPiece, Condition], ...]
    lost: tuple[StoredPiece, ...] = ()
    out: tuple[StoredPiece, ...] = ()


def one_piece(stored: StoredPiece, request: ReturnRequest, condition: Condition) -> SetReturn:
    """A piece that comes back by itself.

    Raises
    ------
    InputError : what only a set has is asked of it.
    CribStateError : another person has it than the one who is named.
    """
    for what, text in (("found", request.found), ("worn", request.worn), ("lost", request.lost)):
        if text.strip():
            raise InputError(what, "only a set, named with --set, comes back by a list of tags")
    who, loan = request.borrower.strip(), stored.status.loan
    if who and loan and _key(loan.to) != _key(who):
        raise CribStateError(f"{stored.status.tag} is {loan.words}, and not with {quoted(who)}")
    return SetReturn(((stored, condition),))


def of_set(pieces: Sequence[StoredPiece], request: ReturnRequest, condition: Condition) -> SetReturn:
    """What comes back of a set: all that its borrower has, or what the list says.

    Raises
    ------
    InputError : several people have some of it and none is named, or a tag that is not among what the borrower has.
    CribStateError : nothing of it is out, or nothing to the person who is named.
    """
    theirs, who = _borrowed(pieces, request)
    tags = [stored.status.tag for stored in theirs]
    found, worn, lost = (
        _among(read_tag_list(text, what), tags, what, who, request.set_name)
        for what, text in (("found", request.found), ("worn", request.worn), ("lost", request.lost))
    )
    there = set(found or [tag for tag in tags if tag not in lost])
    for what, others in (("worn", [tag for tag in worn if tag not in there]), ("lost", there & set(lost))):
        if others:
            raise InputError(
                what, "it is either there, worn or not, or lost", shown=", ".join(sorted(others))
            )
    return SetReturn(
        tuple((one, Condition.WORN if one.status.tag in worn else condition) for one in theirs if one.status.tag in there),
        tuple(one for one in theirs if one.status.tag in lost),
        tuple(one for one in theirs if one.status.tag not in there and one.status.tag not in lost),
    )  # fmt: skip


def _borrowed(pieces: Sequence[StoredPiece], request: ReturnRequest) -> tuple[list[StoredPiece], str]:
    """What one person has of a set, and the person."""
    of_set, who = quoted(request.set_name.strip(), most=200), request.borrower.strip()
    people: dict[str, list[StoredPiece]] = defaultdict(list)
    for stored in pieces:
        loan = stored.status.loan
        if loan is not None and not loan.sent:
            people[_key(loan.to)].append(stored)
    if not people:
        raise CribStateError(f"nothing of the set {of_set} is out")
    if who and _key(who) not in people:
        raise CribStateError(f"nothing of the set {of_set} is out to {quoted(who)}; {_with(people.values())}")
    if not who and len(people) > 1:
        raise InputError(
            "from",
            f"the set {of_set} is out to several; name whose pieces come back: {_with(people.values())}",
        )
    theirs = people[_key(who)] if who else next(iter(people.values()))
    return theirs, _name(theirs)


def _among(
    asked: Sequence[str], tags: Collection[str], what: str, who: str, set_name: str
) -> tuple[str, ...]:
    """Tags as the crib spells them, that are all among what a person has of a set."""
    spelt = {tag.casefold(): tag for tag in tags}
    for tag in asked:
        if tag.casefold() not in spelt:
            has = f"{who} has {', '.join(sorted(tags))} of the set {quoted(set_name.strip(), most=200)}"
            raise InputError(what, has, read=tag)
    return tuple(spelt[tag.casefold()] for tag in asked)


def _with(people: Collection[Sequence[StoredPiece]]) -> str:
    names = sorted((_name(theirs), len(theirs)) for theirs in people)
    return ", ".join(f"{name} ({numbered(count, 'piece')})" for name, count in names)


def _name(theirs: Sequence[StoredPiece]) -> str:
    loan = theirs[0].status.loan
    assert loan is not None
    return loan.to


def _key(name: str) -> str:
    return name.strip().casefold()
