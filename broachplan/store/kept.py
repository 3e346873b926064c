"""Values as the rows keep them; one that no command writes is reported, and not taken for a fault of the program."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date, datetime
from enum import StrEnum
from typing import TypeVar

from broachplan.crib.entries import moment
from broachplan.errors import StorageError, quoted

Word = TypeVar("Word", bound=StrEnum)


def word_kept(words: type[Word], text: str) -> Word:
    """One of a few words, or `StorageError`."""
    with _readable("word", text):
        return words(text)


def day_kept(text: str) -> date:
    """A day, or `StorageError`."""
    with _readable("day", text):
        return date.fromisoformat(text)


def moment_kept(text: str) -> datetime:
    """A moment, or `StorageError`."""
    with _readable("moment", text):
        return moment(text)


@contextmanager
def _readable(what: str, text: str) -> Iterator[None]:
    try:
        yield
    except ValueError as error:
        raise StorageError(
            f"the crib holds a {what} that cannot be, {quoted(text)}; `broachplan data check` shows more"
        ) from error
