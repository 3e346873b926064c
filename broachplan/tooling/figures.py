"""What a figure of a piece is: described once, beside the field of the frozen piece that holds it.

CSV columns, the crib's tables with their CHECKs, options, form lines, lists, JSON and labels derive from these
descriptions; see `figures_of`.
"""

from __future__ import annotations

from dataclasses import dataclass, field, fields, replace
from enum import StrEnum
from typing import Any

from broachplan.errors import InputError
from broachplan.tooling.taking import Taking

_FIGURE = "figure"


class Kind(StrEnum):
    """The kinds of piece a crib holds; each has its class in `tooling.pieces`."""

    BROACH = "broach"
    BUSHING = "bushing"
    SHIM = "shim"
    PRESS = "press"
    PIN = "pin"
    RING = "ring"

    @property
    def plural(self) -> str:
        """The kind in the plural, as files and headings name it."""
        return f"{self.value}{'es' if self.value.endswith(('s', 'x', 'ch', 'sh')) else 's'}"


KIND_NAMES = f"{', '.join(list(Kind)[:-1])} or {list(Kind)[-1]}."


def read_kind(text: str) -> Kind:
    """A kind by its name, in the singular or the plural.

    Raises
    ------
    InputError : it is none.
    """
    for kind in Kind:
        if text.strip().lower() in (kind.value, kind.plural):
            return kind
    raise InputError("kind", f"there are: {', '.join(Kind)}", read=text)


class Quantity(StrEnum):
    """What a figure measures, and so how it is typed, stored and shown; see `tooling.measures`."""

    LENGTH = "length"
    AREA = "area"
    FORCE = "force"
    COUNT = "count"


class Nominal(StrEnum):
    """How a measured figure lies to the nominal size that a piece is called by; see `paper.size_words`."""

    CUT = "what a broach cuts"
    UNDER = "goes into a bore of that size"
    SLOT = "takes a broach of that size"


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure of a piece, and ``how`` it is measured.

    No plan can do without a ``needed`` one: a piece that lacks it stays in the crib, out of plans. Without any other
    the rules that use it are not applied, and the plan says so. A file of pieces must have the columns of those that
    are needed, except one ``added_later``: older files must stay readable for ever.

    ``least`` is the least that it may be; it must be less than the figure ``below``; ``check`` is what else the crib
    holds a row to, a name and its SQL, with `Piece._check` saying the same. ``searched`` gives the column an index.
    A list shows it with the word ``in_list`` behind it, a label with the word ``on_label`` before it, each left out
    where there is none; on a label a ``nominal`` size takes its place. ``taken`` is the drawing of ``how``; ``or_taken``
    is another way, where there is one.
    """

    name: str
    quantity: Quantity
    label: str
    how: str = ""
    needed: bool = False
    added_later: bool = False
    least: int = 1
    below: str = ""
    check: tuple[str, str] | None = None
    searched: bool = False
    in_list: str | None = None
    on_label: str | None = None
    nominal: Nominal | None = None
    taken: Taking | None = None
    or_taken: Taking | None = None


def length_of(label: str, how: str, **more: Any) -> Any:
    """The field of a length; ``more`` as in `Figure`."""
    return _figure(Figure("", Quantity.LENGTH, label, how, **more))


def area_of(label: str, how: str, **more: Any) -> Any:
    """The field of an area; ``more`` as in `Figure`."""
    return _figure(Figure("", Quantity.AREA, label, how, **more))


def force_of(label: str, how: str, **more: Any) -> Any:
    """The field of a force; ``more`` as in `Figure`."""
    return _figure(Figure("", Quantity.FORCE, label, how, **more))


def count_of(label: str, how: str, **more: Any) -> Any:
    """The field of a number of things; ``more`` as in `Figure`."""
    return _figure(Figure("", Quantity.COUNT, label, how, **more))


def figures_of(piece: type) -> tuple[Figure, ...]:
    """The figures of a class of pieces, in the order of its fields."""
    return tuple(
        replace(each.metadata[_FIGURE], name=each.name) for each in fields(piece) if _FIGURE in each.metadata
    )


def _figure(about: Figure) -> Any:
    return field(default=None, metadata={_FIGURE: about})
