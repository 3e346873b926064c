"""How the figures of pieces are read, written and kept, by what they measure."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping

from broachplan.errors import InputError
from broachplan.lengths import Length, Units, parse_length, show, write_exact
from broachplan.quantities import Area, Force, parse_area, parse_force, show_force, write_area, write_force
from broachplan.tooling.figures import Figure, Quantity

Value = Length | Area | Force | int
_MOST_NM2 = 10**18  # 1 m^2; a column of 64 bits holds nine times that
_COUNT = re.compile(r"\d{1,4}", re.ASCII)


def read_figure(quantity: Quantity, text: str, what: str) -> Value:
    """A figure as it was typed.

    Raises
    ------
    InputError : it is none; ``what`` it is begins the line.
    """
    return _READERS[quantity](text, what)


def write_figure(value: Value | None) -> str:
    """A figure exactly, so that it is read again as it was; empty where it is not known."""
    if isinstance(value, Length):
        return write_exact(value)
    if isinstance(value, Area):
        return write_area(value)
    if isinstance(value, Force):
        return write_force(value)
    return "" if value is None else str(value)


def show_figure(value: Value | None, units: Units) -> str:
    """A figure in the shop's units; empty where it is not known."""
    if isinstance(value, Length):
        return show(value, units)
    return show_force(value.newtons, units) if isinstance(value, Force) else write_figure(value)


def number_of(value: Value | None) -> int | None:
    """A figure as the whole number that is kept of it: nanometres, square nanometres, millinewtons."""
    if value is None or isinstance(value, int):
        return value
    if isinstance(value, Length):
        return value.nm
    return value.nm2 if isinstance(value, Area) else value.mn


def figure_of(figure: Figure, number: int | None) -> Value | None:
    """The figure of which a whole number is kept."""
    return None if number is None else MAKERS[figure.quantity](number)


def _area(text: str, what: str) -> Area:
    found = parse_area(text, what)
    if found.nm2 > _MOST_NM2:
        raise InputError(what, "it must not be over 1 m^2", read=text)
    return found


def _count(text: str, what: str) -> int:
    if not _COUNT.fullmatch(text):
        raise InputError(what, "write a whole number, for example 12", read=text)
    return int(text)


_READERS: Mapping[Quantity, Callable[[str, str], Value]] = {
    Quantity.LENGTH: parse_length,
    Quantity.AREA: _area,
    Quantity.FORCE: parse_force,
    Quantity.COUNT: _count,
}
MAKERS: Mapping[Quantity, Callable[[int], Value]] = {
    Quantity.LENGTH: Length,
    Quantity.AREA: Area,
    Quantity.FORCE: Force,
    Quantity.COUNT: int,
}
