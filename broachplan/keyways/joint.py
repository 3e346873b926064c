"""Shaft, key and hub together: what a standard says of them, whichever standard it is."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple, Protocol

from broachplan.keyways.key import Key
from broachplan.lengths import Length, Limits
from broachplan.standards.corners import Corners
from broachplan.standards.named import Fit, Standard

READ, MEMORY, GIVEN = "read", "memory", "given"


class Part(StrEnum):
    """The two parts that a key joins."""

    SHAFT = "shaft"
    HUB = "hub"


class StandardFigure(NamedTuple):
    """A figure of the standard with its limits; ``what`` names it, ``status`` is ``read`` or ``memory``."""

    limits: Limits
    what: str
    status: str


class KeyStock(NamedTuple):
    """What a key is made of or to: limits of its width and height."""

    name: str
    width: Limits
    height: Limits
    status: str


class Cutter(NamedTuple):
    """The cutter of a Woodruff keyseat: limits are None where the standard gives only the size."""

    number: str | None
    width: Limits
    diameter: Length
    diameter_limits: Limits | None
    status: str


class StandardFigures(Protocol):
    """What a standard gives for one diameter and one key; a figure it lacks is an InputError when asked for.

    ``width`` and ``hub_reading`` put the standard's deviations round another nominal where one is given. ``chord`` is the
    width under the hub's arc; the first of ``stocks`` is the one the fit is meant for.
    """

    @property
    def standard(self) -> Standard: ...
    @property
    def diameter(self) -> Length: ...
    @property
    def key(self) -> Key: ...
    @property
    def fit(self) -> Fit | None: ...
    @property
    def source(self) -> str: ...
    @property
    def remarks(self) -> tuple[str, ...]: ...
    @property
    def shaft_remarks(self) -> tuple[str, ...]: ...
    @property
    def off_table(self) -> str | None: ...
    @property
    def arc(self) -> Length: ...
    @property
    def chord(self) -> Length: ...
    @property
    def over_key(self) -> Length: ...
    @property
    def depth_from_top(self) -> Length: ...
    @property
    def depth_at_edge(self) -> Length: ...
    @property
    def depth_at_wall(self) -> Length: ...
    @property
    def stocks(self) -> tuple[KeyStock, ...]: ...
    @property
    def corners(self) -> Corners | None: ...
    @property
    def cutter(self) -> Cutter | None: ...
    def width(self, part: Part, nominal: Length | None = None) -> StandardFigure: ...
    def shaft_reading(self) -> StandardFigure: ...
    def hub_reading(self, nominal: Length | None = None) -> StandardFigure: ...


class Seat(NamedTuple):
    """The keyway in one part.

    ``reading`` is its floor to the opposite side, S in the shaft and T in the hub; ``depth`` is from the top of the arc
    to the floor in the shaft, at the side wall in the hub; ``at_edge`` is from the line where the keyway's sides meet
    the surface to the floor, in the hub the same as ``depth``.
    """

    reading: Limits
    width: Limits
    depth: Length
    at_edge: Length


class Clearance(NamedTuple):
    """The whole fit with a key of one stock: what is free at the sides in each part and on top; below zero is tight."""

    stock: KeyStock
    shaft_side: Limits
    hub_side: Limits
    top: Limits


class Position(NamedTuple):
    """How far a keyseat may lie off the middle plane (``offset``) and lean over its length (``lead``, if known)."""

    offset: Length
    length: Length | None
    lead: Length | None
    source: str
    status: str


@dataclass(frozen=True, slots=True)
class Stepped:
    """A key for a shaft and a hub whose keyways differ.

    ``shaft_width`` and ``hub_width`` are its two widths, ``height`` its whole height, ``in_shaft`` the height from its
    bottom to the step; ``step`` is how far each side is set back, 0 for two heights of one width.
    """

    hub_key: Key
    shaft_width: Limits
    hub_width: Limits
    height: Limits
    in_shaft: Limits
    step: Length


@dataclass(frozen=True, slots=True, kw_only=True)
class Joint:
    """Shaft, key and hub by the standard.

    ``arc`` is the height of the arc over the key's width, ``over_key`` the size over shaft and seated key, both
    nominal on size; ``over_key_limits`` what it may be with seat and key within their limits. ``key`` is the shaft's;
    ``stepped`` is there where the hub's is another; the first of ``clearances`` is of the stock the fit is meant for.
    """

    standard: Standard
    diameter: Length
    key: Key
    fit: Fit | None
    arc: Length
    shaft: Seat
    hub: Seat
    over_key: Length
    over_key_limits: Limits
    clearances: tuple[Clearance, ...]
    corners: Corners | None
    position: Position | None
    cutter: Cutter | None
    stepped: Stepped | None
    source: str
    status: str
    remarks: tuple[str, ...]

    @property
    def key_on_size(self) -> Length:
        """Height of a key on size: what ``over_key`` has over the shaft's nominal reading.

        That of an inch Woodruff key is the least in the table: it projects just as far over the edge as the table says.
        """
        return self.over_key - self.shaft.reading.nominal

    @property
    def stock(self) -> tuple[Limits, Limits]:
        """Limits of the key's width and height, of the stock that the fit is meant for."""
        stock = self.clearances[0].stock
        return stock.width, stock.height


def from_memory(figures: list[StandardFigure]) -> tuple[str, ...]:
    """The remark that names the figures from memory among those used; empty if there are none."""
    recalled = dict.fromkeys(figure.what for figure in figures if figure.status == MEMORY)
    return (f"from memory, not seen in print: {', '.join(recalled)}",) if recalled else ()
