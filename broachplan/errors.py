"""Everything that can go wrong for a reason a user can act on.

BroachplanError
├── InputError          what was typed or handed in is wrong         exit 2
├── StorageError        the crib's database cannot be used           exit 4
└── CribStateError      the crib's state forbids the change          exit 5

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
# reads one of them would do the change again; here it is saved, and only the words about it are lost.
OUTPUT_FAILED = 74


class ExitCode(IntEnum):
    """What a command tells the program that called it."""

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
    """What was typed is wrong: says what was read and what would be right."""

    code = ExitCode.BAD_INPUT


class StorageError(BroachplanError):
    """The database cannot be opened, is of another revision, or fails its check."""

    code = ExitCode.STORAGE


class CribStateError(BroachplanError):
    """The crib's state forbids the change: lent already, not out, unfit, held."""

    code = ExitCode.STATE


class OutputError(Exception):
    """The result could not be printed; what was asked may be done and saved all the same."""


# A password may hold any sign, as it was typed: what stands before the last @ is taken for it.
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
