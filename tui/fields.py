"""The fields of the machinist's form: what each is called, and how what is typed in it is checked."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

from broachplan.errors import InputError, quoted
from broachplan.keyways.keyway import Fit, Shape, Standard
from broachplan.lengths import read_length, read_limits
from broachplan.tooling.hub import BoreForm, parse_hardness
from broachplan.tooling.pieces import checked_tag


@dataclass(frozen=True, slots=True)
class Field:
    """One line of the form. ``check`` raises `InputError` in words; ``choices`` makes it a choice instead."""

    name: str
    label: str
    hint: str
    check: Callable[[str], object] = str
    needed: bool = False
    choices: tuple[tuple[str, str], ...] = ()


def _key(text: str) -> None:
    from broachplan.keyways.key import read_key

    read_key(text)


def _stack(text: str) -> None:
    from broachplan.planner.question import read_stack

    read_stack(text)


def _material(text: str) -> None:
    from broachplan.tooling.materials import find_material

    find_material(text)


def _day(text: str) -> None:
    try:
        date.fromisoformat(text)
    except ValueError:
        raise InputError(f"day: read {quoted(text)}; write year-month-day, for example 2026-03-09") from None


FIELDS: tuple[Field, ...] = (
    Field("bore", "Bore", "(as 1 in +0.001 -0)", lambda t: read_limits(t, "bore"), needed=True),
    Field("hub_length", "Hub length", "(as 1-1/2 in)", lambda t: read_length(t, "hub length"), needed=True),
    Field("key", "Key", "(the table's)", _key),
    Field("keyway_width", "Keyway width", "(the fit's limits)", lambda t: read_limits(t, "keyway width")),
    Field("reading", "Reading T", "(the table's)", lambda t: read_limits(t, "reading")),
    Field("aim", "Aim", "(middle)", lambda t: read_length(t, "aim")),
    Field(
        "standard",
        "Standard",
        "",
        choices=(
            ("", "as the bore"),
            (Standard.INCH, "inch, ASME B17.1"),
            (Standard.METRIC, "metric, ISO 773"),
        ),
    ),
    Field(
        "shape",
        "Key shape",
        "",
        choices=(
            ("", "by the table"),
            (Shape.SQUARE, "square"),
            (Shape.RECTANGULAR, "rectangular"),
            (Shape.TAPER, "taper"),
        ),
    ),
    Field(
        "fit",
        "Fit",
        "",
        choices=(
            ("", "usual"),
            (Fit.CLASS_1, "class 1, inch"),
            (Fit.CLASS_2, "class 2, inch"),
            (Fit.CLOSE, "close, metric"),
            (Fit.NORMAL, "normal, metric"),
            (Fit.FREE, "free, metric"),
        ),
    ),
    Field("no_top_clearance", "Top clearance", "", choices=(("", "yes"), ("no", "none (DIN 6885-1)"))),
    Field("hub_od", "Hub outside", "(not known)", lambda t: read_length(t, "hub outside diameter")),
    Field("hardness", "Hardness", "(as 28 HRC)", parse_hardness),
    Field("material", "Material", "(not named)", _material),
    Field("stack", "Hubs stacked", "(1)", _stack),
    Field(
        "bore_form",
        "Bore form",
        "",
        choices=(
            ("", "through"),
            (BoreForm.BLIND, "blind"),
            (BoreForm.TAPERED, "tapered"),
        ),
    ),
    Field("press", "Press", "(the smallest)", checked_tag),
    Field("on", "Day", "(as 2026-03-09)", _day),
)  # fmt: skip


def reason_against(field: Field, text: str) -> str:
    """Why ``text`` will not do in this field; empty where it will."""
    if not text.strip():
        return f"{field.label}: still to be typed" if field.needed else ""
    try:
        field.check(text.strip())
    except InputError as error:
        return str(error)
    return ""
