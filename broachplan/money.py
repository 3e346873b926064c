"""Amounts of money as whole numbers of the smaller unit (cents, pence, öre), and currencies by their three letters."""

from __future__ import annotations

import re

from broachplan.errors import InputError

_AMOUNT = re.compile(r"\d{1,9}(?:\.\d{1,2})?", re.ASCII)
_CURRENCY = re.compile(r"[A-Z]{3}", re.ASCII)


def read_amount(text: str, what: str) -> int:
    """An amount as it was written, ``12``, ``12.5`` or ``12.50``, in hundredths.

    Raises
    ------
    InputError : it has a sign, a group mark or more than two decimals, or is no number.
    """
    plain = text.strip()
    if not _AMOUNT.fullmatch(plain):
        right = (
            "write digits with at most two decimals, without sign or mark between groups, for example 12.50"
        )
        raise InputError(what, right, read=text)
    whole, _, part = plain.partition(".")
    return 100 * int(whole) + int(part.ljust(2, "0") or 0)


def show_amount(minor: int) -> str:
    """Hundredths as an amount with two decimals; nothing at all is ``0``."""
    return f"{minor // 100}.{minor % 100:02d}" if minor else "0"


def read_currency(text: str, what: str) -> str:
    """A currency by its three capital letters.

    Raises
    ------
    InputError : it is not written so.
    """
    plain = text.strip()
    if not _CURRENCY.fullmatch(plain):
        raise InputError(what, "write three capital letters, for example USD", read=text)
    return plain
