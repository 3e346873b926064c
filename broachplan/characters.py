"""Characters that no text may hold and no terminal is sent: one table for what is stored, quoted, printed and drawn.

Control characters, surrogates, private and unassigned ones, and those that show as nothing or turn the direction of
writing: a terminal obeys them instead of showing them. Spaces of other widths are let through: lengths are typed with
them. The table is written out, so that it does not change with the Unicode version of a Python.
"""

from __future__ import annotations

import re

_RANGES = (
    "\x00-\x1f\x7f-\x9f\xad\u034f\u0600-\u0605\u061c\u06dd\u070f\u0890\u0891\u08e2\u115f\u1160\u17b4\u17b5\u180b-\u180f"
    "\u200b-\u200f\u2028-\u202e\u2060-\u206f\u2800\u3164\ud800-\udfff\ue000-\uf8ff\ufe00-\ufe0f\ufeff\uffa0\ufff0-\ufffb"
    "\ufffe\uffff\U000110bd\U000110cd\U00013430-\U0001343f\U0001bca0-\U0001bca3\U0001d173-\U0001d17a\U000e0000-\U0010ffff"
)
UNSEEN = re.compile(f"[{_RANGES}]")


def first_unseen(text: str) -> str:
    """The first character of a text that no text may hold; empty where there is none."""
    # Nearly all text is plain, which two quick looks settle.
    if text.isascii() and text.isprintable():
        return ""
    found = UNSEEN.search(text)
    return found.group() if found else ""


def escaped(text: str) -> str:
    """``text`` with each such character written as its number."""
    return UNSEEN.sub(lambda found: number_of(found.group()), text)


def number_of(character: str) -> str:
    """A character as its number: ``\\u00ad``."""
    return f"\\u{ord(character):04x}"


def masked(text: str) -> str:
    """``text`` with a question mark for each such character, as long as before; tabs and line ends become spaces."""
    return UNSEEN.sub(lambda found: " " if found.group() in "\t\n\r" else "?", text)
