"""Broaches, bushings, shims, presses, push pins and rings, with the figures measured on each."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import ClassVar

from broachplan.errors import InputError
from broachplan.lengths import Length, write_exact
from broachplan.quantities import Area, Force
from broachplan.tooling.figures import FIGURES, Figure, Kind

LONGEST_TAG = 40
# A scanner types like a keyboard, and lists of tags are written with commas.
_TAG = re.compile(r"[A-Za-z0-9](?:[ -+\--~]*[!-+\--~])?", re.ASCII)


def checked_tag(text: str) -> str:
    """A tag as it is kept, or `InputError`: plain ASCII that begins with a letter or digit, at most 40, no commas."""
    if len(text) > LONGEST_TAG or not _TAG.fullmatch(text):
        raise InputError(
            "tag",
            f"use at most {LONGEST_TAG} plain characters without commas, beginning with a letter or digit",
            read=text,
        )
    return text


class FigureError(InputError):
    """A figure that a piece cannot have; ``figure`` is its name, by which a table or a form finds its place."""

    def __init__(self, figure: str, field: str, right: str, *, shown: object = "") -> None:
        super().__init__(field, right, shown=shown)
        self.figure = figure


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """What all pieces share: a tag, unique over all kinds, and figures that are positive where known."""

    kind: ClassVar[Kind]
    tag: str

    def __post_init__(self) -> None:
        checked_tag(self.tag)
        for figure in self.figures():
            _check_size(figure, getattr(self, figure.name))
        self._check()

    def _check(self) -> None:
        """Refuse figures that cannot stand together."""

    @classmethod
    def figures(cls) -> tuple[Figure, ...]:
        """The table of this kind's figures."""
        return FIGURES[cls.kind]

    @property
    def missing(self) -> tuple[str, ...]:
        """Labels of the figures that a plan needs and nobody has measured."""
        return tuple(f.label for f in self.figures() if f.needed and getattr(self, f.name) is None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Broach(Piece):
    """A keyway push broach. Heights run from the back to a tooth; teeth rise evenly from first to last."""

    kind = Kind.BROACH
    keyway_width: Length | None = None
    body_width: Length | None = None
    first_tooth_height: Length | None = None
    last_tooth_height: Length | None = None
    tooth_pitch: Length | None = None
    rising_teeth: int | None = None
    finishing_teeth: int | None = None
    root_height: Length | None = None
    front_length: Length | None = None
    overall_length: Length | None = None
    gullet_area: Area | None = None

    def _check(self) -> None:
        first, last, root = self.first_tooth_height, self.last_tooth_height, self.root_height
        _check_order(first, "first tooth height", last, "last tooth height")
        _check_order(root, "root height", first, "first tooth height")
        toothed, overall = self.toothed_length, self.overall_length
        if toothed is not None and overall is not None:
            reach = toothed + (self.front_length or Length(0))
            if reach > overall:
                raise FigureError(
                    "overall_length",
                    f"overall length {write_exact(overall)}",
                    f"front and teeth together take {write_exact(reach)}; it must not be less",
                )

    @property
    def teeth(self) -> int | None:
        """Rising and finishing teeth together; no finishing teeth where none are given."""
        return None if self.rising_teeth is None else self.rising_teeth + (self.finishing_teeth or 0)

    @property
    def toothed_length(self) -> Length | None:
        """First tooth to last tooth."""
        if self.teeth is None or self.tooth_pitch is None:
            return None
        return self.tooth_pitch * (self.teeth - 1)

    @property
    def rise(self) -> Fraction | None:
        """Rise a tooth in nanometres, exact."""
        if self.first_tooth_height is None or self.last_tooth_height is None or self.rising_teeth is None:
            return None
        return Fraction(self.last_tooth_height.nm - self.first_tooth_height.nm, self.rising_teeth - 1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Bushing(Piece):
    """A slotted guide bushing. ``web`` runs from its back to the slot floor."""

    kind = Kind.BUSHING
    outside_diameter: Length | None = None
    slot_width: Length | None = None
    web: Length | None = None
    length: Length | None = None
    collar_height: Length | None = None

    def _check(self) -> None:
        _check_order(self.slot_width, "slot width", self.outside_diameter, "outside diameter")
        _check_order(self.web, "web", self.outside_diameter, "outside diameter")


@dataclass(frozen=True, slots=True, kw_only=True)
class Shim(Piece):
    """A shim laid between slot floor and broach back."""

    kind = Kind.SHIM
    thickness: Length | None = None
    width: Length | None = None
    length: Length | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Press(Piece):
    """An arbor or hydraulic press."""

    kind = Kind.PRESS
    rated_force: Force | None = None
    opening: Length | None = None
    throat: Length | None = None
    stroke: Length | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Pin(Piece):
    """A push pin that carries the ram's stroke into the bore."""

    kind = Kind.PIN
    diameter: Length | None = None
    length: Length | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Ring(Piece):
    """A ring that fills an oversize bore around a smaller bushing."""

    kind = Kind.RING
    wall: Length | None = None
    length: Length | None = None


PIECES: dict[Kind, type[Piece]] = {cls.kind: cls for cls in (Broach, Bushing, Shim, Press, Pin, Ring)}


def _check_size(figure: Figure, value: Length | Area | Force | int | None) -> None:
    if value is None:
        return
    size = value if isinstance(value, int) else value.nm if isinstance(value, Length) else 1
    if isinstance(value, Force):
        size = value.mn
    elif isinstance(value, Area):
        size = value.nm2
    if size < figure.least:
        raise FigureError(figure.name, figure.label, f"it must be at least {figure.least}", shown=size)
    if isinstance(value, int) and value > 1000:
        raise FigureError(figure.name, figure.label, "no broach has more than 1000", shown=value)


def _check_order(smaller: Length | None, its_name: str, larger: Length | None, other: str) -> None:
    if smaller is not None and larger is not None and smaller >= larger:
        raise FigureError(
            its_name.replace(" ", "_"),
            f"{its_name} {write_exact(smaller)}",
            f"it must be less than the {other}, {write_exact(larger)}",
        )
