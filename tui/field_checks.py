"""How what is typed in a line of the form is checked, by the rooms that read it later."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date

from broachplan.errors import InputError, quoted
from broachplan.keyways.key import read_key, size_name
from broachplan.keyways.keyway import Standard
from broachplan.lengths import read_length, read_limits
from broachplan.planner.question import read_stack
from broachplan.tooling.hub import parse_hardness
from broachplan.tooling.materials import find_material
from broachplan.tooling.pieces import checked_tag
from tui.fields import Field


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise InputError(f"day: read {quoted(text)}; write year-month-day, for example 2026-03-09") from None


CHECKS: Mapping[str, Callable[[str], object]] = {
    "bore": lambda text: read_limits(text, "bore"),
    "hub_length": lambda text: read_length(text, "hub length"),
    "key": read_key,
    "keyway_width": lambda text: read_limits(text, "keyway width"),
    "reading": lambda text: read_limits(text, "reading"),
    "aim": lambda text: read_length(text, "aim"),
    "hub_od": lambda text: read_length(text, "hub outside diameter"),
    "hardness": parse_hardness,
    "material": find_material,
    "stack": read_stack,
    "press": checked_tag,
    "on": _day,
}
_SHARED = ("standard", "key", "shape", "fit", "no_top_clearance")


def joint_start(values: Mapping[str, str]) -> dict[str, str]:
    """What the hub's form says of the joint: the shaft is the bore's nominal size, its limits are not the bore's."""
    start = {name: values[name] for name in _SHARED}
    try:
        return {**start, "shaft": size_name(read_limits(values["bore"], "bore").limits.nominal)}
    except InputError:
        return start


def reason_against(field: Field, text: str, standard: str = "") -> str:
    """Why ``text`` will not do in this line; empty where it will. A key is read by the standard chosen."""
    if not text.strip() or field.name not in CHECKS:
        return ""
    try:
        if field.name == "key" and standard:
            read_key(text.strip(), Standard(standard))
        else:
            CHECKS[field.name](text.strip())
    except InputError as error:
        return str(error)
    return ""
