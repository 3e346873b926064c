"""What a spreadsheet makes of a cell of a CSV file, written independently of the guard and by trying: common practice, no source."""

from __future__ import annotations

import re
from contextlib import suppress
from datetime import datetime
from fractions import Fraction
from functools import cache
from itertools import product
from unicodedata import normalize

_FORMS = [
    *(f"{first}{mark}{second}" for first, second in ("dm", "md") for mark in "/-. "),
    *(f"{form}{mark}{year}" for form in ("d/m", "m/d", "d-m", "m-d", "d.m", "d m") for mark, year in product("/-. ", "yY")),
    *("Y-m-d", "Y/m/d", "Y.m.d", "Y-m-dTH:M", "Y-m-d H:M", "m/Y", "m-Y", "Y-m", "Y/m"),
    *(form.replace("b", month) for month in "bB" for form in ("b d", "d b", "b-d", "d-b", "b/d", "d. b", "bd", "db", "b Y", "b-y", "d b Y", "d-b-y", "b d, Y")),
    *("H:M", "H:M:S", "I:M p", "I p", "Ip", "I:Mp"),
]  # fmt: skip
_TRIED = [
    re.sub("[A-Za-z]", lambda found: f"%{found.group()}" if found.group() != "T" else "T", form)
    for form in _FORMS
]
_ERRORS = ("#N/A", "#REF!", "#NAME?", "#VALUE!", "#DIV/0!", "#NUM!", "#NULL!")


@cache
def made_of(cell: str) -> str:
    """``formula``, ``day``, ``number``, ``truth`` or ``error`` where a cell does not stay the text it is, else ""."""
    text = normalize("NFKC", cell).strip()
    if text.startswith(("=", "+", "-", "@", "\t", "\r")):
        return "formula"
    if text.upper() in ("TRUE", "FALSE"):
        return "truth"
    if text.upper() in _ERRORS:
        return "error"
    if not any(character.isdigit() for character in text):
        return ""
    if any(_reads(text, form) for form in _TRIED) or _reads(f"{text}m", "%I %p"):
        return "day"
    return "number" if _number(text) not in (None, text) else ""


def _reads(text: str, form: str) -> bool:
    with suppress(ValueError):
        datetime.strptime(text, form)
        return True
    return False


def _number(text: str) -> str | None:
    """How a number that is typed so is written; None where it is none."""
    plain = re.sub(r"[$€£¥%(),]", "", text).strip()
    with suppress(ValueError, ZeroDivisionError, OverflowError):
        if mixed := re.fullmatch(r"(\d+) (\d+/\d+)", plain, re.ASCII):
            return str(float(int(mixed[1]) + Fraction(mixed[2])))
        if re.fullmatch(r"[\d.]+(?:e[+-]?\d+)?", plain, re.ASCII | re.IGNORECASE):
            return f"{float(plain):.15g}"
    return None
