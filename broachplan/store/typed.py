"""Figures and words of one piece as a person types them, turned into what its rows hold."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from enum import StrEnum
from typing import Any

from broachplan.crib.entries import Value
from broachplan.errors import InputError
from broachplan.questions.piece import WORDS, figure_lines
from broachplan.store.csv_columns import column_of
from broachplan.tooling.figures import Kind
from broachplan.tooling.measures import figure_of, number_of
from broachplan.tooling.pieces import FIGURES, PIECES


def typed_values(kind: Kind, texts: Mapping[str, str]) -> dict[str, Value]:
    """The columns that were typed, by the names of the lines of a piece; "" where a figure is not known.

    Raises
    ------
    InputError : a name that this kind of piece does not have, or a value that cannot be read.
    """
    figures = {line.name: line for line in figure_lines(kind)}
    words = {line.name: line for line in WORDS}
    values: dict[str, Value] = {}
    for name, text in texts.items():
        if line := words.get(name):
            values[column_of(name)] = _kept(line.kind.read(text, line.what, {}))
        elif line := figures.get(name):
            values[name] = _kept(line.kind.read(text.strip(), line.what, {})) if text.strip() else None
        else:
            having = ", ".join(each.what for each in figures.values())
            raise InputError(name.replace("_", " "), f"a {kind} has no such figure; it has: {having}")
    return values


def check_piece(kind: Kind, tag: str, values: Mapping[str, Value]) -> None:
    """Raise `InputError` unless a piece with these columns may be."""
    figures = {
        figure.name: figure_of(figure, number)
        for figure in FIGURES[kind]
        if isinstance(number := values.get(figure.name), int)
    }
    PIECES[kind](tag=tag, **figures)


def _kept(value: Any) -> Value:
    """What a column holds of what was read."""
    if isinstance(value, bool):
        return int(value)
    if isinstance(value, str):
        return value.value if isinstance(value, StrEnum) else value
    return value.isoformat() if isinstance(value, date) else number_of(value)
