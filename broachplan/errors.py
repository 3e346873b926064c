"""Everything that can go wrong for a reason a user can act on.

BroachplanError
├── InputError          what was typed or passed in is wrong         exit 2
├── StorageError        the crib's database cannot be used           exit 4
└── CribStateError      the crib's state forbids the change          exit 5
    └── AskedFirst      unless a person says yes to it

A plan that does not exist is not in this tree: it is an answer (see planner.answer).
"""

from __future__ import annotations

import re
from enum import IntEnum

from broachplan.characters import escaped, number_of

# As a shell reports it: 128 and the number of the signal.
INTERRUPTED = 130
NOBODY_READS = 141
# EX_IOERR of sysexits.h (4.3BSD). None of the six fits: 2, 4 and 5 mean that nothing was changed, and a program that
# reads one of them would do the change again; here it is saved, and only the output about it is lost.
OUTPUT_FAILED = 74


class ExitCode(IntEnum):
    """What a command returns to the program that called it."""

    DONE = 0
    OUR_FAULT = 1
    BAD_INPUT = 2
    NO = 3
    STORAGE = 4
    STATE = 5


class BroachplanError(Exception):
    """One clear line for the user; ``code`` is what the command exits with."""

    code: ExitCode = ExitCode.OUR_FAULT


class InputError(BroachplanError):
    """What was typed or passed in is wrong.

    Attributes
    ----------
    field : what it is about, as a person calls it; empty where there is nothing to name.
    right : what would be right, or what it must be.
    read : the text that was read; None where it was not one text.
    shown : what was read as a figure, in words; empty where it was a text.
    fault : what is wrong with what was read, put after it: ``without a unit``; empty where `right` says it all.
    """

    code = ExitCode.BAD_INPUT

    def __init__(
        self,
        field: str,
        right: str = "",
        *,
        read: str | None = None,
        shown: object = "",
        fault: str = "",
        most: int = 40,
    ) -> None:
        super().__init__(field, right)
        self.field = field
        self.right = right
        self.read = read
        self.shown = str(shown)
        self.fault = fault
        self._most = most

    @property
    def said(self) -> str:
        """What was read and what would be right, without the name of the field."""
        found = self.shown if self.read is None else quoted(self.read, self._most)
        if not found:
            return self.right
        fault = self.fault if self.fault.startswith((",", ":")) or not self.fault else f" {self.fault}"
        return f"read {found}{fault}{f'; {self.right}' if self.right else ''}"

    def __str__(self) -> str:
        return ": ".join(filter(None, (self.field, self.said)))


class StorageError(BroachplanError):
    """The database cannot be opened, is of another revision, or fails its check."""

    code = ExitCode.STORAGE


class CribStateError(BroachplanError):
    """The crib's state forbids the change: lent already, not out, unfit, held."""

    code = ExitCode.STATE


class AskedFirst(CribStateError):
    """The crib's state forbids the change unless a person says yes to it.

    ``yes`` is what that changes in the request, by the names of its lines; by itself ``anyway``.
    """

    def __init__(self, message: str, **yes: str) -> None:
        super().__init__(message)
        self.yes = yes or {"anyway": "yes"}


class OutputError(Exception):
    """The result could not be printed; what was asked may be done and saved all the same."""


# A password may hold any character: everything before the last @ is treated as one.
_USERINFO = re.compile(r"(?P<before>:/+[^/:]*:)(?P<secret>.*)(?P<after>@)", re.DOTALL)
_QUERY = re.compile(
    r"(?P<before>pass(?:word|wd|file)?\s*=\s*)(?P<secret>'[^']*'|\"[^\"]*\"|[^\s&'\"”]+)(?P<after>)",
    re.ASCII | re.IGNORECASE,
)
_PASSWORDS = (_USERINFO, _QUERY)


def quoted(text: str, most: int = 40) -> str:
    """What a user typed, safe to print on one line: no control or hidden characters, no password, at most ``most`` long."""
    text = without_passwords(text)
    shown = text if len(text) <= most else text[: most - 1] + "…"
    tail = "" if len(text) <= most else f" ({len(text)} characters)"
    # What looks like a space and is none, or has no shape in this Python, is written as its number too.
    printable = "".join(each if each.isprintable() else number_of(each) for each in escaped(shown))
    return f"“{printable}”{tail}"


def without_passwords(text: str) -> str:
    """``text`` with three stars for each password in a database URL or behind ``password=``."""
    for pattern in _PASSWORDS:
        text = pattern.sub(r"\g<before>***\g<after>", text)
    return text


def passwords_in(text: str) -> set[str]:
    """The passwords that `without_passwords` would hide."""
    return {found["secret"].strip("'\"") for pattern in _PASSWORDS for found in pattern.finditer(text)}
