"""The code of a run: its number and four letters of its first plan, so that a number mistyped is noticed."""

from __future__ import annotations

import base64
import hashlib
import re

from broachplan.errors import InputError
from broachplan.runs.steps import Step

_LETTERS = 4
_CODE = re.compile(r"R?(?P<number>\d{1,9})(?:-(?P<letters>[A-Z2-7]{4}))?", re.ASCII)


def letters_of(start: Step) -> str:
    """Four letters of the SHA-256 of a run's first plan in base 32 (RFC 4648).

    Set-ups differ by their plan: broach, bushing, press and the shims of each pass, by their tags.
    """
    plan = start.new_hubs
    assert plan is not None
    lines = [plan.broach, plan.bushing, plan.press or "", *(",".join(stack) for stack in plan.stacks)]
    digest = hashlib.sha256("\n".join(lines).encode()).digest()
    return base64.b32encode(digest).decode()[:_LETTERS]


def code_of(number: int, start: Step) -> str:
    """The code of a run, such as R7-K3QX."""
    return f"R{number}-{letters_of(start)}"


def read_code(text: str) -> tuple[int, str]:
    """The number of a run and the letters typed behind it; none where there is only the number.

    Raises
    ------
    InputError : it is neither a number nor a code.
    """
    found = _CODE.fullmatch(text.strip().upper())
    if not found or not int(found["number"]):
        raise InputError("run", "write its number, or its code, for example R7-K3QX", read=text)
    return int(found["number"]), found["letters"] or ""


def check_letters(number: int, typed: str, start: Step) -> None:
    """Refuse letters that are not those of the run.

    Raises
    ------
    InputError : they are another run's.
    """
    if typed and typed != letters_of(start):
        raise InputError(
            "run",
            f"run {number} has the code {code_of(number, start)}; check the number",
            read=f"R{number}-{typed}",
        )
