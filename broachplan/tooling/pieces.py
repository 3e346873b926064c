"""Broaches, bushings, shims, presses, push pins and rings, with the figures measured on each.

Each figure is described at its field, and nowhere else.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import ClassVar

from broachplan.errors import InputError
from broachplan.lengths import Length, write_exact
from broachplan.quantities import Area, Force
from broachplan.tooling import seen
from broachplan.tooling.figures import (
    Figure,
    Kind,
    Nominal,
    area_of,
    count_of,
    figures_of,
    force_of,
    length_of,
)
from broachplan.tooling.tags import checked_tag
from broachplan.tooling.taking import Taking, Touch

_EDGE = "Touch the edge itself, on a tooth without a chip or a burr; the back lies flat on the other anvil."


class FigureError(InputError):
    """A figure that a piece cannot have; ``figure`` is its name, by which a table or a form finds its place."""

    def __init__(self, figure: str, field: str, right: str, *, shown: object = "") -> None:
        super().__init__(field, right, shown=shown)
        self.figure = figure


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """What all pieces share: a tag, unique over all kinds, and figures that are positive where known."""

    kind: ClassVar[Kind]
    # Whether an exported file always has the columns of set, condition and how it was measured.
    inspected: ClassVar[bool] = False
    tag: str

    def __post_init__(self) -> None:
        checked_tag(self.tag)
        for figure in FIGURES[self.kind]:
            _check_size(figure, getattr(self, figure.name))
        for figure in _BELOW[self.kind]:
            _check_order(figure, getattr(self, figure.name), getattr(self, figure.below))
        self._check()

    def _check(self) -> None:
        """Refuse figures that cannot all be right, beyond the order that `Figure.below` says."""

    @classmethod
    def figures(cls) -> tuple[Figure, ...]:
        """The figures of this kind, in order."""
        return FIGURES[cls.kind]

    @property
    def missing(self) -> tuple[str, ...]:
        """Labels of the figures that a plan needs and nobody has measured."""
        return tuple(f.label for f in self.figures() if f.needed and getattr(self, f.name) is None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Broach(Piece):
    """A keyway push broach. Heights run from the back to a tooth; teeth rise evenly from first to last."""

    kind = Kind.BROACH
    inspected = True
    keyway_width: Length | None = length_of(
        "keyway width",
        "micrometer across a tooth, side to side",
        needed=True,
        searched=True,
        in_list="",
        on_label="",
        nominal=Nominal.CUT,
        taken=Taking(
            seen.BROACH_END,
            Touch.FLAT,
            "one side of a tooth",
            "its other side",
            "Try a few teeth: the widest counts.",
        ),
    )
    body_width: Length | None = length_of(
        "body width",
        "micrometer across the body, below the teeth",
        taken=Taking(seen.BROACH_END, Touch.FLAT, "one side of the body", "the body's other side"),
    )
    first_tooth_height: Length | None = length_of(
        "height over first tooth",
        "micrometer or height gauge, from the back to the edge of the first tooth",
        needed=True,
        below="last_tooth_height",
        taken=Taking(
            seen.BROACH_SIDE, Touch.FLAT, "back below the first tooth", "edge of the first tooth", _EDGE
        ),
    )
    last_tooth_height: Length | None = length_of(
        "height over last tooth",
        "micrometer or height gauge, from the back to the edge of the last tooth",
        needed=True,
        in_list="high",
        taken=Taking(
            seen.BROACH_SIDE, Touch.FLAT, "back below the last tooth", "edge of the last tooth", _EDGE
        ),
    )
    tooth_pitch: Length | None = length_of(
        "tooth pitch",
        "caliper over ten pitches, edge to edge, divided by ten",
        taken=Taking(seen.BROACH_SIDE, Touch.OVER, "edge of the first tooth", "edge of the next tooth"),
    )
    rising_teeth: int | None = count_of(
        "rising teeth",
        "count the teeth from the first to the first one of full height, both included",
        least=2,
        taken=Taking(
            seen.BROACH_SIDE, Touch.COUNTED, "edge of the first tooth", "first tooth of full height"
        ),
    )
    finishing_teeth: int | None = count_of(
        "finishing teeth",
        "count the teeth of full height after the first of them",
        least=0,
        taken=Taking(
            seen.BROACH_SIDE, Touch.COUNTED, "tooth after the first of full height", "edge of the last tooth"
        ),
    )
    root_height: Length | None = length_of(
        "root height",
        "caliper, from the back to the bottom of the lowest gullet",
        below="first_tooth_height",
        taken=Taking(
            seen.BROACH_SIDE,
            Touch.FLAT,
            "back below the gullet",
            "bottom of the lowest gullet",
            "Use the narrow jaws.",
        ),
    )
    front_length: Length | None = length_of(
        "pilot length",
        "rule, from the leading end to the edge of the first tooth",
        taken=Taking(seen.BROACH_SIDE, Touch.RULE, "leading end", "edge of the first tooth"),
    )
    overall_length: Length | None = length_of(
        "overall length",
        "rule, end to end",
        check=(
            "overall_length_holds",
            "coalesce(front_length, 0) + (rising_teeth + coalesce(finishing_teeth, 0) - 1) * tooth_pitch"
            " <= overall_length",
        ),
        taken=Taking(seen.BROACH_SIDE, Touch.RULE, "leading end", "rear end"),
    )
    gullet_area: Area | None = area_of(
        "gullet area",
        "trace one gullet on squared paper, up to the edges of its two teeth",
        taken=Taking(
            seen.GULLET, Touch.TRACED, "edge of one tooth", "edge of the next", "Count the squares."
        ),
    )

    def _check(self) -> None:
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
    inspected = True
    outside_diameter: Length | None = length_of(
        "outside diameter",
        "micrometer over the ground body",
        needed=True,
        searched=True,
        in_list="",
        on_label="",
        nominal=Nominal.UNDER,
        taken=Taking(seen.BUSHING_END, Touch.FLAT, "one side", "other side", "Not over the collar."),
    )
    slot_width: Length | None = length_of(
        "slot width",
        "gauge blocks or a bore gauge in the slot",
        needed=True,
        below="outside_diameter",
        on_label="slot",
        nominal=Nominal.SLOT,
        taken=Taking(seen.BUSHING_END, Touch.WITHIN, "one side of the slot", "other side of the slot"),
    )
    web: Length | None = length_of(
        "web",
        "micrometer with a ball anvil, from the back to the slot floor",
        needed=True,
        below="outside_diameter",
        in_list="web",
        taken=Taking(
            seen.BUSHING_END, Touch.BALL, "back", "slot floor", "Rock it: the least reading is the web."
        ),
        or_taken=Taking(
            seen.BUSHING_WITH_BROACH,
            Touch.FLAT,
            "back of the bushing",
            "edge of the last tooth",
            "Press the broach's back on the clean slot floor, its last tooth within the bushing, and rock the"
            " micrometer a little: the least reading, less the broach's height over that tooth, is the web.",
        ),
    )
    length: Length | None = length_of(
        "length",
        "caliper, under the collar to the far end",
        taken=Taking(seen.BUSHING_SIDE, Touch.RULE, "underside of the collar", "far end"),
    )
    collar_height: Length | None = length_of(
        "collar height",
        "caliper over the collar",
        taken=Taking(seen.BUSHING_SIDE, Touch.FLAT, "top of the collar", "its underside"),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Shim(Piece):
    """A shim laid between slot floor and broach back."""

    kind = Kind.SHIM
    inspected = True
    thickness: Length | None = length_of(
        "thickness",
        "micrometer, in three places",
        needed=True,
        in_list="",
        on_label="",
        taken=Taking(
            seen.SHIM_EDGE, Touch.FLAT, "one face", "other face", "Wipe it first; write down the largest."
        ),
    )
    width: Length | None = length_of(
        "width",
        "micrometer or caliper",
        needed=True,
        searched=True,
        in_list="wide",
        taken=Taking(seen.SHIM_FACE, Touch.FLAT, "one edge", "other edge"),
    )
    length: Length | None = length_of(
        "length",
        "caliper or rule",
        taken=Taking(seen.SHIM_FACE, Touch.RULE, "one end", "other end"),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Press(Piece):
    """An arbor or hydraulic press."""

    kind = Kind.PRESS
    rated_force: Force | None = force_of(
        "rated force",
        "from its plate or its papers",
        in_list="",
        on_label="",
        taken=Taking(seen.PRESS_SIDE, Touch.READ_OFF, "plate", also="A pump's gauge is not the rating."),
    )
    opening: Length | None = length_of(
        "opening",
        "rule, from the table to the ram at its highest",
        taken=Taking(seen.PRESS_SIDE, Touch.ACROSS, "table", "ram at its highest"),
    )
    throat: Length | None = length_of(
        "throat",
        "rule, from the middle of the ram to the frame",
        taken=Taking(seen.PRESS_SIDE, Touch.ACROSS, "frame", "middle of the ram"),
    )
    stroke: Length | None = length_of(
        "stroke",
        "rule, the way of the ram from highest to lowest",
        taken=Taking(seen.PRESS_SIDE, Touch.ACROSS, "highest", "lowest"),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Pin(Piece):
    """A push pin that carries the ram's stroke into the bore."""

    kind = Kind.PIN
    diameter: Length | None = length_of(
        "diameter",
        "micrometer",
        in_list="",
        on_label="",
        nominal=Nominal.UNDER,
        taken=Taking(seen.PIN_SIDE, Touch.FLAT, "one side", "other side"),
    )
    length: Length | None = length_of(
        "length",
        "caliper or rule",
        in_list="long",
        taken=Taking(seen.PIN_SIDE, Touch.RULE, "one end", "other end"),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Ring(Piece):
    """A ring that fills an oversize bore around a smaller bushing."""

    kind = Kind.RING
    wall: Length | None = length_of(
        "wall",
        "micrometer with a ball anvil",
        in_list="wall",
        on_label="wall",
        taken=Taking(seen.RING_END, Touch.BALL, "outside", "inside", "Take it in four places."),
    )
    length: Length | None = length_of(
        "length",
        "caliper or rule",
        taken=Taking(seen.RING_SIDE, Touch.RULE, "one end", "other end"),
    )


PIECES: dict[Kind, type[Piece]] = {cls.kind: cls for cls in (Broach, Bushing, Shim, Press, Pin, Ring)}
# By kind and not by class, so that a kind without its class is noticed at once.
FIGURES: dict[Kind, tuple[Figure, ...]] = {kind: figures_of(PIECES[kind]) for kind in Kind}
_BELOW = {kind: tuple(each for each in figures if each.below) for kind, figures in FIGURES.items()}


def figure_named(kind: Kind, name: str) -> Figure:
    """One figure of a kind by its name."""
    return next(figure for figure in FIGURES[kind] if figure.name == name)


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


def _check_order(figure: Figure, smaller: Length | None, larger: Length | None) -> None:
    if smaller is not None and larger is not None and smaller >= larger:
        name, other = (each.replace("_", " ") for each in (figure.name, figure.below))
        raise FigureError(
            figure.name,
            f"{name} {write_exact(smaller)}",
            f"it must be less than the {other}, {write_exact(larger)}",
        )
