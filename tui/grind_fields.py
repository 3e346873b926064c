"""The lines of a regrind: what is measured after it, what geometry's check wants to know, and how they are checked."""

from __future__ import annotations

from collections.abc import Mapping

from broachplan.crib.records import Record
from broachplan.crib.wear import lowered_by, read_angle
from broachplan.errors import InputError
from broachplan.lengths import Length, Units, parse_length, show
from broachplan.tooling.figures import Kind
from broachplan.tooling.pieces import FIGURES
from tui.fields import Field
from tui.hand_fields import NOTE
from tui.piece_fields import BY, fields_of
from tui.piece_fields import reason_against as reason_of_piece
from tui.piece_text import value_words

HEIGHTS = {"first_tooth_height": "first", "last_tooth_height": "last"}
CHECKS = ("ground_off", "relief")
_ALSO = ("root_height", "front_length", "gullet_area")
_WORDS = ("condition", "measured_with", "measured_on", "measured_by", "measured_to")
_OF_CHECK = (
    Field("ground_off", "ground off each face", "(for the check: as 0.005 in)"),
    Field("relief", "relief angle", "(for the check: as 2 deg)"),
)


def lines_of(record: Record, units: Units) -> tuple[Field, ...]:
    """Both heights are needed; each figure tells what it was."""
    figures = {figure.name: figure for figure in FIGURES[Kind.BROACH]}
    found = []
    for name in (*HEIGHTS, *_ALSO):
        was = value_words(getattr(record.piece, name, None), units)
        hint = f"(was {was})" if was != "not measured" else "(not measured before)"
        found.append(Field(name, figures[name].label, hint, needed=name in HEIGHTS))
    words = {field.name: field for field in fields_of(Kind.BROACH)}
    return (*found, *_OF_CHECK, *(words[name] for name in _WORDS), Field("note", "note", NOTE.hint), BY)


def reason_against(field: Field, text: str, values: Mapping[str, str], record: Record) -> str:
    """Why a text will not do in a line; empty where it will. A regrind makes no tooth higher."""
    try:
        if field.name == "ground_off":
            parse_length(text, field.label)
        elif field.name == "relief":
            read_angle(text, field.label)
        elif field.name in HEIGHTS:
            return reason_of_piece(field, text, values) or _higher(field, text, record)
        else:
            return reason_of_piece(field, text, values)
    except InputError as error:
        return str(error)
    return ""


def heights(record: Record, values: Mapping[str, str]) -> dict[str, tuple[Length, Length]]:
    """Each tooth's height before and after, as far as it was known before and can be read now."""
    found = {}
    for name, word in HEIGHTS.items():
        before, after = getattr(record.piece, name, None), _read(values.get(name, ""))
        if before is not None and after is not None:
            found[word] = (before, after)
    return found


def geometry(values: Mapping[str, str]) -> Length | None:
    """How far geometry says that the teeth came down; None where it is not told what was ground off at which relief."""
    off = _read(values.get("ground_off", ""))
    try:
        return lowered_by(off, read_angle(values.get("relief", ""), "relief")) if off else None
    except InputError:
        return None


def _higher(field: Field, text: str, record: Record) -> str:
    before, after = getattr(record.piece, field.name, None), _read(text)
    if before is None or after is None or after <= before:
        return ""
    was = show(before, Units.INCH)
    return f"{field.label}: read {text}, which is higher than it was, {was}; a regrind makes no tooth higher"


def _read(text: str) -> Length | None:
    try:
        return parse_length(text, "") if text else None
    except InputError:
        return None
