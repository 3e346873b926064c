"""Text that a spreadsheet leaves as it is: an apostrophe before whatever it would take for something else.

What spreadsheets take for formulas, days, times and numbers is common practice, no source; this takes too much for
one of them rather than too little. Whole numbers are left alone: they come out of a spreadsheet as they went in.
"""

from __future__ import annotations

import re
from unicodedata import normalize

_SIGNS = tuple("=+-@\t\r")
_WHOLE = re.compile(r"0|[1-9]\d{0,14}", re.ASCII)
_DIGIT = re.compile(r"\d")
# What may be among the digits of a number, a day or a time: exponents, halves of a day, and the T and Z of ISO 8601.
_AMONG = re.compile(
    r"(?<=\d)\.?e(?=[+-]?\d)|(?<=-\d\d)t(?=\d\d:)|(?<=\d)z$"
    r"|(?:(?<=\d)\s+[ap]|(?<=:\d\d)\s*[ap]|(?<=\d)\s*[ap](?=\.?m))\.?(?:m\.?)?$"
)
_LETTERS = re.compile(r"[^\W\d_]+")
_FIGURES = re.compile(r"[\d\s.,/:()%$€£¥'’+\u2044-]*")
_MONTHS = {
    "jan", "january", "januar", "janv", "janvier", "feb", "february", "februar", "févr", "février", "mar",
    "march", "mär", "märz", "mrz", "mars", "apr", "april", "avr", "avril", "may", "mai", "jun", "june",
    "juni", "juin", "jul", "july", "juli", "juil", "juillet", "aug", "august", "août", "sep", "sept",
    "september", "septembre", "oct", "october", "octobre", "okt", "oktober", "nov", "november", "novembre",
    "dec", "december", "dez", "dezember", "déc", "décembre",
}  # fmt: skip
_VALUES = {"true", "false", "#n/a", "#ref!", "#name?", "#value!", "#div/0!", "#num!", "#null!"}


def guarded(text: str) -> str:
    """Text with an apostrophe before it where a spreadsheet would change it; `unguarded` gives it back."""
    return f"'{text}" if misread(text.lstrip("'")) else text


def unguarded(text: str) -> str:
    """Text without the apostrophe that kept a spreadsheet from changing it."""
    return text[1:] if text.startswith("'") and misread(text.lstrip("'")) else text


def misread(text: str) -> bool:
    """Whether a spreadsheet may take typed text for a formula, a day, a time, a truth or a number written otherwise."""
    plain = text if text.isascii() else normalize("NFKC", text)
    plain = plain.strip(" ").casefold()
    if plain.startswith(_SIGNS) or plain in _VALUES:
        return True
    if not _DIGIT.search(plain) or _WHOLE.fullmatch(plain):
        return False
    rest = _LETTERS.sub(_but_for_months, _AMONG.sub("", plain))
    return _FIGURES.fullmatch(rest) is not None


def _but_for_months(found: re.Match[str]) -> str:
    return "" if found.group() in _MONTHS else found.group()
