"""Words from a crib or a keyboard, made safe for a terminal."""

from __future__ import annotations

from broachplan.characters import masked


def plain(text: object) -> str:
    """``text`` with every control, bidirectional and zero-width character shown as a question mark.

    A terminal obeys such characters, and a screen passes them on as they are. Tabs and line ends become spaces.
    """
    return masked(str(text))


def fitted(text: str, width: int, *, middle: bool = False) -> str:
    """``text`` in at most ``width`` columns; an ellipsis marks what is left off, at the end or in the middle.

    Of several tags those that fit are kept whole: a tag that is cut could be another one's.
    """
    if len(text) <= width:
        return text
    if width < 1:
        return ""
    if middle and (whole := text.rfind(", ", 0, width - 1)) > 0:
        return f"{text[:whole]}, …"
    tail = (width - 1) // 2 if middle else 0
    return f"{text[: width - 1 - tail]}…{text[len(text) - tail :]}"
