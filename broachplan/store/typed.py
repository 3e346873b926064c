"""Figures and words of one piece as a person types them, turned into what its rows hold."""

from __future__ import annotations

from collections.abc import Mapping

from broachplan.crib.entries import Value
from broachplan.crib.words import checked_words, read_condition, read_day, read_within
from broachplan.errors import InputError
from broachplan.store.csv_form import read_figure
from broachplan.store.translate import figure_of, number_of
from broachplan.tooling.figures import Figure, Kind
from broachplan.tooling.pieces import FIGURES, PIECES

# What is typed beside the figures, and the column that holds it.
WORDS: Mapping[str, str] = {
    "set": "set_name",
    "home": "home",
    "condition": "condition",
    "note": "note",
    "measured_with": "measured_with",
    "measured_on": "measured_on",
    "measured_by": "measured_by",
    "made_here": "made_here",
    "measured_to": "measured_to",
}


def typed_values(kind: Kind, told: Mapping[str, str]) -> dict[str, Value]:
    """The columns that are told, by the names of the figures and of `WORDS`; "" where a figure is not known.

    Raises
    ------
    InputError : a name that this kind of piece does not have, or a value that cannot be read.
    """
    figures = {figure.name: figure for figure in FIGURES[kind]}
    values: dict[str, Value] = {}
    for name, text in told.items():
        if name in figures:
            values[name] = _figure(figures[name], text)
        elif name in WORDS:
            values[WORDS[name]] = _words(name, text)
        else:
            raise InputError(
                _spoken(name), f"a {kind} has no such figure; it has: {', '.join(map(_spoken, figures))}"
            )
    return values


def check_piece(kind: Kind, tag: str, values: Mapping[str, Value]) -> None:
    """Raise `InputError` unless a piece with these columns may be."""
    figures = {
        figure.name: figure_of(figure, number)
        for figure in FIGURES[kind]
        if isinstance(number := values.get(figure.name), int)
    }
    PIECES[kind](tag=tag, **figures)


def _figure(figure: Figure, text: str) -> int | None:
    if not text.strip():
        return None
    value = read_figure(figure.quantity, text.strip())
    if isinstance(value, str):
        raise InputError(_spoken(figure.name), value)
    return number_of(value)


def _words(name: str, text: str) -> Value:
    if name == "condition":
        return read_condition(text).value
    if name == "measured_on":
        day = read_day(text, _spoken(name))
        return day.isoformat() if day else None
    if name == "measured_to":
        return number_of(read_within(text, _spoken(name)))
    if name == "made_here":
        return _flag(_spoken(name), text)
    return checked_words(text, _spoken(name))


def _flag(name: str, text: str) -> int:
    word = text.strip().lower()
    if word not in ("yes", "no", ""):
        raise InputError(name, "write yes or no", read=text)
    return int(word == "yes")


def _spoken(name: str) -> str:
    return name.replace("_", " ")
