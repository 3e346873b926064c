"""Words from a crib or a keyboard, made safe for a terminal."""

from __future__ import annotations

from unicodedata import category

_UNSEEN = frozenset({"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"})
# Fillers and selectors that take no room, though Unicode files them under letters or marks.
_WIDTHLESS = frozenset("\u034f\u115f\u1160\u17b4\u17b5\u3164\uffa0") | {
    chr(code) for code in range(0xFE00, 0xFE10)
}


def plain(text: object) -> str:
    """``text`` with every control, bidirectional and zero-width character shown as a question mark.

    A terminal obeys such characters, and a screen passes them on as they are. Tabs and line ends become spaces.
    """
    return "".join(_shown(character) for character in str(text))


def _shown(character: str) -> str:
    if character in "\t\n\r":
        return " "
    if character.isascii():
        return character if " " <= character <= "~" else "?"
    return "?" if character in _WIDTHLESS or category(character) in _UNSEEN else character


def fitted(text: str, width: int, *, middle: bool = False) -> str:
    """``text`` in at most ``width`` columns; an ellipsis stands for what is left off, at the end or in the middle."""
    if len(text) <= width:
        return text
    if width < 1:
        return ""
    tail = (width - 1) // 2 if middle else 0
    return f"{text[: width - 1 - tail]}…{text[len(text) - tail :]}"
