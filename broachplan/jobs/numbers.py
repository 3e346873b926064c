"""A number for one more job, in the way in which a shop numbers them."""

from __future__ import annotations

import re
from collections.abc import Iterable

_COUNTED = re.compile(r"(?P<before>.*?)(?P<count>\d{1,9})", re.DOTALL)


def next_number(numbers: Iterable[str]) -> str:
    """The number after the highest of the sort that most numbers are of (``J-731`` after ``J-730``); empty without any."""
    found: dict[str, list[str]] = {}
    for number in numbers:
        if (counted := _COUNTED.fullmatch(number)) is not None:
            found.setdefault(counted["before"], []).append(counted["count"])
    if not found:
        return ""
    before, counts = max(found.items(), key=lambda item: (len(item[1]), item[0]))
    highest = max(counts, key=int)
    return f"{before}{int(highest) + 1:0{len(highest)}d}"
