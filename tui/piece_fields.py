"""The lines of the form of a piece: its figures from the table of its kind, then what is known beside them."""

from __future__ import annotations

from collections.abc import Mapping

from broachplan.crib.records import Condition, Record
from broachplan.crib.words import checked_words, read_day, read_within
from broachplan.errors import InputError
from broachplan.lengths import Length, parse_length, write_exact
from broachplan.quantities import Area, Force, parse_area, parse_force, write_area, write_force
from broachplan.tooling.figures import Figure, Kind, Quantity
from broachplan.tooling.pieces import FIGURES, PIECES, checked_tag
from tui.fields import Field

LABEL_WIDTH = 31
TAG = Field("tag", "tag", "(as it is marked)", needed=True)
KIND = Field("kind", "kind", choices=tuple((kind.value, kind.value) for kind in Kind))
BY = Field("by", "by", "(who is at the desk)")
_HINTS = {
    Quantity.LENGTH: "as 0.251 in, 30 mm",
    Quantity.AREA: "as 0.004 in^2",
    Quantity.FORCE: "as 30 kN, 5 short tons",
    Quantity.COUNT: "a whole number",
}
_WORDS = (
    Field("set", "set", "(the marked box)"),
    Field("home", "home", "(cabinet/drawer/place)"),
    Field("condition", "condition", choices=tuple((each.value, each.value) for each in Condition)),
    Field("note", "note"),
    Field("measured_with", "measured with"),
    Field("measured_on", "measured on", "(as 2031-05-28)"),
    Field("measured_by", "measured by"),
    Field("measured_to", "measured to ±", "(as 0.0002 in)"),
    Field("made_here", "made in house", choices=(("no", "no"), ("yes", "yes"))),
)
# Lines whose words may be known already.
KNOWN = ("set", "home", "measured_by", "by")
# What is kept for the next piece that is added: pieces are measured by the drawer.
KEPT = ("set", "home", "measured_with", "measured_on", "measured_by", "measured_to", "made_here")
_Value = Length | Area | Force | int


def fields_of(kind: Kind) -> tuple[Field, ...]:
    """A line for each figure of the kind, then the words."""
    return (*(_field(figure) for figure in FIGURES[kind]), *_WORDS)


def as_typed(record: Record) -> dict[str, str]:
    """What stands in the lines for a piece: figures exactly, so that a line left alone changes nothing."""
    piece, measured = record.piece, record.measured
    figures = {figure.name: _written(getattr(piece, figure.name)) for figure in piece.figures()}
    return {
        **figures,
        "set": record.set_name,
        "home": record.home,
        "condition": record.condition.value,
        "note": record.note,
        "measured_with": measured.with_what,
        "measured_on": measured.on.isoformat() if measured.on else "",
        "measured_by": measured.by,
        "measured_to": _written(measured.to),
        "made_here": "yes" if record.made_here else "no",
    }


def reason_against(field: Field, text: str, values: Mapping[str, str]) -> str:
    """Why a text will not do in a line of a form that has the line of its kind too; empty where it will."""
    kind = Kind(values["kind"]) if values.get("kind") else None
    figure = next((each for each in FIGURES[kind] if each.name == field.name), None) if kind else None
    try:
        if figure is not None:
            read(figure, text)
        elif field.name == "tag":
            checked_tag(text)
        elif field.name == "measured_on":
            read_day(text, field.label)
        elif field.name == "measured_to":
            read_within(text, field.label)
        elif not field.choices:
            checked_words(text, field.label)
    except InputError as error:
        return str(error)
    return ""


def whole_reason(kind: Kind, tag: str, values: Mapping[str, str]) -> str:
    """Why the figures, each of which will do, will not do together; empty where they will."""
    figures = {
        figure.name: read(figure, text) for figure in FIGURES[kind] if (text := values.get(figure.name, ""))
    }
    try:
        PIECES[kind](tag=tag, **figures)
    except InputError as error:
        return str(error)
    return ""


def read(figure: Figure, text: str) -> _Value:
    """A figure as it was typed.

    Raises
    ------
    InputError : it is none.
    """
    if figure.quantity is Quantity.LENGTH:
        return parse_length(text, figure.label)
    if figure.quantity is Quantity.AREA:
        return parse_area(text, figure.label)
    if figure.quantity is Quantity.FORCE:
        return parse_force(text, figure.label)
    if not (text.isascii() and text.isdigit() and len(text) <= 4):
        raise InputError(figure.label, "write a whole number", read=text)
    return int(text)


def _field(figure: Figure) -> Field:
    needed = "plans need it; " if figure.needed else ""
    return Field(figure.name, figure.label, f"({needed}{_HINTS[figure.quantity]})")


def _written(value: _Value | None) -> str:
    if isinstance(value, Length):
        return write_exact(value)
    if isinstance(value, Area):
        return write_area(value)
    if isinstance(value, Force):
        return write_force(value)
    return "" if value is None else str(value)
