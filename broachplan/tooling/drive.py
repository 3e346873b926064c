"""What drives a press: a hand press is felt, a hydraulic one has a gauge. Cautions are worded by it."""

from __future__ import annotations

import re
from enum import StrEnum

# Only the note of a press says so. These are words that a shop writes there: common practice, no source.
_HYDRAULIC = re.compile(r"\bhydraulic", re.IGNORECASE)
_BY_HAND = re.compile(r"\b(?:arbou?r|ratchet|lever|hand ?wheel|hand press|by hand)\b", re.IGNORECASE)


class Drive(StrEnum):
    """How a press is worked, as far as the crib knows."""

    HAND = "hand"
    HYDRAULIC = "hydraulic"
    NOT_KNOWN = "not known"


def drive_by_note(note: str) -> Drive:
    """What drives a press by its note; not known where the note names neither, or both.

    >>> drive_by_note("bench arbor press")
    <Drive.HAND: 'hand'>
    """
    by_hand, hydraulic = bool(_BY_HAND.search(note)), bool(_HYDRAULIC.search(note))
    if by_hand == hydraulic:
        return Drive.NOT_KNOWN
    return Drive.HAND if by_hand else Drive.HYDRAULIC
