"""The tag of a piece: what one may be, and the one after it where pieces are numbered on."""

from __future__ import annotations

import re
from collections.abc import Container
from itertools import count

from broachplan.errors import InputError

LONGEST_TAG = 40
UNDONE = " (undone "
# A scanner types like a keyboard, and lists of tags are written with commas.
_TAG = re.compile(r"[A-Za-z0-9](?:[ -+\--~]*[!-+\--~])?", re.ASCII)
_LAST_NUMBER = re.compile(r"(?P<before>.*?)(?P<number>\d+)(?P<after>\D*)", re.ASCII | re.DOTALL)


def checked_tag(text: str) -> str:
    """A tag as it is kept, or `InputError`: plain ASCII that begins with a letter or digit, at most 40, no commas."""
    if len(text) > LONGEST_TAG or not _TAG.fullmatch(text):
        raise InputError(
            "tag",
            f"use at most {LONGEST_TAG} plain characters without commas, beginning with a letter or digit",
            read=text,
        )
    return text


def undone_name(tag: str, action: int, taken: Container[str] = frozenset()) -> str:
    """What a piece is called once its addition, the act of that number, is undone: its tag is free for another.

    It is a tag like any other, so that the piece is found and its history is shown by it; ``taken`` are the tags that
    it must not be.

    >>> undone_name("SH-0250-09", 12)
    'SH-0250-09 (undone 12)'
    """
    for number in count(1):
        mark = f"{UNDONE}{action}{f'-{number}' if number > 1 else ''})"
        name = f"{tag[: LONGEST_TAG - len(mark)].rstrip()}{mark}"
        if name not in taken:
            return name
    raise AssertionError("there is always another number")


def next_tag(tag: str) -> str:
    """The tag after one: its last number one higher and as wide, else ``-2`` behind it; empty where that is too long.

    >>> next_tag("SH-0250-09"), next_tag("GU-7A"), next_tag("long one")
    ('SH-0250-10', 'GU-8A', 'long one-2')
    """
    found = _LAST_NUMBER.fullmatch(tag)
    if found is None:
        made = f"{tag}-2"
    else:
        number = found["number"]
        made = f"{found['before']}{int(number) + 1:0{len(number)}d}{found['after']}"
    return made if len(made) <= LONGEST_TAG else ""
