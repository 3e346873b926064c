"""The lines of a regrind: what is measured after it, what geometry's check needs, and how they are checked."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from broachplan.crib.records import Record
from broachplan.crib.wear import lowered_by, read_angle
from broachplan.errors import InputError
from broachplan.lengths import Length, Units, parse_length, show
from broachplan.questions.line import Line
from broachplan.questions.piece import BY, FIGURES_REGROUND, HEIGHTS, NOTE, regrind_lines
from broachplan.tooling.measures import show_figure

_TEETH = dict(zip(HEIGHTS, ("first", "last"), strict=True))


def lines_of(record: Record, units: Units) -> tuple[Line, ...]:
    """The lines of a regrind; each figure shows its old value."""
    found = []
    for line in regrind_lines():
        if line.name in FIGURES_REGROUND:
            was = show_figure(getattr(record.piece, line.name, None), units)
            line = replace(line, hint=f"(was {was})" if was else "(not measured before)")
        found.append(line)
    return (*found, NOTE, BY)


def reason_against(line: Line, text: str, values: Mapping[str, str], record: Record) -> str:
    """Why a text is not valid in a line; empty where it is. A regrind makes no tooth higher."""
    return line.reason_against(text, values) or (_higher(line, text, record) if line.name in HEIGHTS else "")


def heights(record: Record, values: Mapping[str, str]) -> dict[str, tuple[Length, Length]]:
    """Each tooth's height before and after, where it was known before and can be read now."""
    found = {}
    for name, word in _TEETH.items():
        before, after = getattr(record.piece, name, None), _read(values.get(name, ""))
        if before is not None and after is not None:
            found[word] = (before, after)
    return found


def geometry(values: Mapping[str, str]) -> Length | None:
    """How far geometry says that the teeth came down; None where the amount ground off or the relief is missing."""
    off = _read(values.get("ground_off", ""))
    try:
        return lowered_by(off, read_angle(values.get("relief", ""), "relief")) if off else None
    except InputError:
        return None


def _higher(line: Line, text: str, record: Record) -> str:
    before, after = getattr(record.piece, line.name, None), _read(text)
    if before is None or after is None or after <= before:
        return ""
    was = show(before, Units.INCH)
    return f"{line.label}: read {text}, which is higher than it was, {was}; a regrind makes no tooth higher"


def _read(text: str) -> Length | None:
    try:
        return parse_length(text, "") if text else None
    except InputError:
        return None
