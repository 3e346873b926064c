"""A hub as someone describes it, in words, turned into a hub and the keyway asked for.

The command line, the screens and the list of coming jobs all ask in this form.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """What was typed, field by field; an empty string is a field left out."""

    bore: str
    hub_length: str
    key: str = ""
    shape: str = ""
    standard: str = ""
    fit: str = ""
    no_top_clearance: bool = False
    reading: str = ""
    keyway_width: str = ""
    aim: str = ""
    hub_od: str = ""
    hardness: str = ""
    stack: str = ""
    bore_form: str = ""
    material: str = ""
