"""Shaft, key and hub together: what a standard says of them, whichever standard it is."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple, Protocol

from broachplan.keyways.key import Key
from broachplan.keyways.keyway import Fit, Standard
from broachplan.lengths import Length, Limits

READ, MEMORY, GIVEN = "read", "memory", "given"


class Part(StrEnum):
    """The two parts that a key joins."""

    SHAFT = "shaft"
    HUB = "hub"


class Figure(NamedTuple):
    """A figure of the standard with its limits; ``what`` names it, ``status`` is ``read`` or ``memory``."""

    limits: Limits
    what: str
    status: str


class Figures(Protocol):
    """What a standard gives for one diameter and one key; a figure it lacks is an InputError when asked for.

    ``width`` and ``hub_reading`` put the standard's deviations round another nominal where one is given.
    """

    @property
    def standard(self) -> Standard: ...
    @property
    def diameter(self) -> Length: ...
    @property
    def key(self) -> Key: ...
    @property
    def fit(self) -> Fit: ...
    @property
    def source(self) -> str: ...
    @property
    def remarks(self) -> tuple[str, ...]: ...
    @property
    def off_table(self) -> str | None: ...
    @property
    def arc(self) -> Length: ...
    @property
    def over_key(self) -> Length: ...
    @property
    def depth_from_top(self) -> Length: ...
    @property
    def depth_at_wall(self) -> Length: ...
    @property
    def stock(self) -> tuple[Limits, Limits] | None: ...
    def width(self, part: Part, nominal: Length | None = None) -> Figure: ...
    def shaft_reading(self) -> Figure: ...
    def hub_reading(self, nominal: Length | None = None) -> Figure: ...


class Seat(NamedTuple):
    """The keyway in one part.

    ``reading`` is its floor to the opposite side, S in the shaft and T in the hub; ``depth`` is from the top of the arc
    to the floor in the shaft, at the side wall in the hub.
    """

    reading: Limits
    width: Limits
    depth: Length


@dataclass(frozen=True, slots=True, kw_only=True)
class Joint:
    """Shaft, key and hub by the standard.

    ``arc`` is the height of the arc over the key's width, ``over_key`` the size over shaft and seated key, both
    nominal on size; ``stock`` the limits of the key's width and height, where the standard has them.
    """

    standard: Standard
    diameter: Length
    key: Key
    fit: Fit
    stock: tuple[Limits, Limits] | None
    arc: Length
    shaft: Seat
    hub: Seat
    over_key: Length
    source: str
    status: str
    remarks: tuple[str, ...]


def from_memory(figures: list[Figure]) -> tuple[str, ...]:
    """The remark that tells which of the figures used rest on memory; none: no remark."""
    recalled = dict.fromkeys(figure.what for figure in figures if figure.status == MEMORY)
    return (f"from memory, not seen in print: {', '.join(recalled)}",) if recalled else ()
