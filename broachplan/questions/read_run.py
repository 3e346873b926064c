"""Small texts of a run's requests: the order of cutting, the shims of a stack, marks of hubs."""

from __future__ import annotations

from broachplan.crib.words import checked_words
from broachplan.errors import InputError
from broachplan.runs.run import Order
from broachplan.standards.named import one_of

NO_SHIM = "none"
_LONGEST_MARK = 40


def read_number(text: str, what: str = "number") -> int:
    """The number of a hub, a pass or a step: a whole number from 1; `InputError` where it is none."""
    plain = text.strip()
    if not (plain.isascii() and plain.isdigit() and len(plain) < 8 and int(plain)):
        raise InputError(what, "write a whole number from 1", read=text)
    return int(plain)


def read_order(text: str) -> Order:
    """The order of cutting the loads: ``loads`` or ``passes``; `InputError` where it is neither."""
    wanted = text.strip().lower()
    if wanted not in tuple(Order):
        raise InputError("order", f"write {one_of(tuple(Order))}", read=text)
    return Order(wanted)


def read_tags(text: str, what: str = "shims") -> tuple[str, ...]:
    """The tags of a stack with commas between them; ``none`` where no shim is in.

    Raises
    ------
    InputError : a tag is left out between two commas, or one is there twice.
    """
    if text.strip().lower() == NO_SHIM:
        return ()
    tags = tuple(checked_words(tag, what) for tag in text.split(","))
    if not all(tags) or len(set(tags)) < len(tags):
        raise InputError(what, f"write each tag once with commas between them, or {NO_SHIM}", read=text)
    return tags


def read_marks(text: str, what: str = "marks") -> tuple[str, ...]:
    """The marks of the hubs, one each, with commas between them; none where nothing is typed.

    Raises
    ------
    InputError : a mark is left out, too long, or there twice.
    """
    if not text.strip():
        return ()
    marks = tuple(checked_words(mark, what, _LONGEST_MARK) for mark in text.split(","))
    if not all(marks) or len(set(marks)) < len(marks):
        raise InputError(what, "write one mark for each hub with commas between them", read=text)
    return marks
