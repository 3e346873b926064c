"""The milling card of a keyseat: its question and its figures, as plain values that a face can draw.

Depths count from the top of the arc, where the cutter touches first; readings are the keyseat floor to the opposite
side of the shaft, or the opposite side to the top of the seated key.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from broachplan.keyways.joint import Cutter, Joint
from broachplan.lengths import Length, Limits
from broachplan.quantities import Speed


class Over(StrEnum):
    """What a micrometer on the far side of the shaft was closed on."""

    KEY = "key"
    FLOOR = "floor"


class State(StrEnum):
    """A reading against its limits: metal left, done, too deep, or unknown until the key is measured."""

    SHORT = "short"
    WITHIN = "within"
    PAST = "past"
    UNSURE = "unsure"


class Ends(StrEnum):
    """The key's ends: round ones fill the seat's round ends, square ones need its full width."""

    ROUND = "round"
    SQUARE = "square"


@dataclass(frozen=True, slots=True)
class Deviations:
    """The user's own limits of the reading, from its nominal; minus is a deeper seat."""

    lower: Length
    upper: Length


@dataclass(frozen=True, slots=True)
class MicrometerReading:
    """A micrometer's reading, and what it was taken over."""

    over: Over
    size: Length


@dataclass(frozen=True, slots=True, kw_only=True)
class CardRequest:
    """What the milling card is to give beyond the seat itself; None: not asked.

    ``finder`` and ``cutter`` are diameters; ``length`` is the key's; ``from_end`` the shaft's end to the near end of
    the key, None for a seat that runs out at the shaft's end, of a Woodruff key to its middle; ``key_height`` the key
    as measured.
    """

    finder: Length | None = None
    cutter: Length | None = None
    length: Length | None = None
    from_end: Length | None = None
    step: Length | None = None
    own_limits: Deviations | None = None
    speed: Speed | None = None
    key_height: Length | None = None
    measured: MicrometerReading | None = None


@dataclass(frozen=True, slots=True)
class EdgeFinding:
    """From the touch of the finder on the shaft's side to the spindle over its centre; halves to the nearest nm."""

    finder: Length
    half_finder: Length
    half_shaft: Length

    @property
    def move(self) -> Length:
        """Both moves together."""
        return self.half_finder + self.half_shaft


@dataclass(frozen=True, slots=True)
class MillingPass:
    """One cut: what it takes, how deep it ends below the top of the arc, and the floor's reading then."""

    number: int
    cut: Length
    depth: Length
    floor: Length


@dataclass(frozen=True, slots=True)
class CutterPath:
    """Where the end mill's centre starts and ends, from the shaft's end into the shaft, for a key with such ends.

    ``over_all`` counts the seat's round ends in, ``full_width`` leaves them out. An open seat starts with the cutter
    just clear of the shaft: half its diameter outside.
    """

    ends: Ends
    over_all: Length
    full_width: Length
    start: Length
    end: Length


@dataclass(frozen=True, slots=True)
class Spindle:
    """Revolutions a minute: cutting speed over (pi x cutter)."""

    speed: Speed
    cutter: Length
    rpm: float


@dataclass(frozen=True, slots=True)
class After:
    """What a reading means: ``floor`` is the reading over the floor that it amounts to.

    ``to_aim`` is still to take off to the aim, ``least`` to be within the limits and ``most`` before it is past them;
    negative where that much is gone already. With ``key_on_size`` the reading is over a key that was not measured, and
    all of it is for a key on size.
    """

    measured: MicrometerReading
    floor: Length
    state: State
    to_aim: Length
    least: Length
    most: Length
    key_on_size: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class WoodruffSetup:
    """How a Woodruff cutter is set.

    ``half_cutter``, half its width, and ``half_shaft`` bring it from a touch on the top of the shaft to the centre's
    height. ``place`` is the shaft's end to the middle of the key; the spindle moves ``from_rim`` from a touch of the
    cutter's rim on the end, ``from_finder`` from a touch of the finder. ``seat_length`` is the seat along the shaft
    at its edges, ``at_edge`` the depth there; the card's depths count from the crown.
    """

    cutter: Cutter
    diameter: Length
    half_cutter: Length
    half_shaft: Length
    place: Length | None
    from_rim: Length | None
    from_finder: Length | None
    seat_length: Length
    at_edge: Length

    @property
    def height(self) -> Length:
        """Both halves together: from the touch on the top to the centre's height."""
        return self.half_cutter + self.half_shaft


@dataclass(frozen=True, slots=True, kw_only=True)
class Card:
    """The milling card of one keyseat.

    ``floor`` is the reading over the floor; ``depth`` the depths below the top of the arc that bring it within its
    limits, for every shaft within the shaft's limits where there are any; ``aim`` the depth of the last pass.
    ``over_key`` is for a key on size, or of its measured height; ``over_key_stock`` for any key within the limits of
    ``stock``. ``woodruff`` is there for a Woodruff key, and then its cutter feeds in from the side. ``side_move`` is how far off centre, to each side, a cutter narrower than the seat has to go.
    """

    joint: Joint
    shaft: Limits
    floor: Limits
    depth: Limits
    aim: Length
    own_limits: bool
    key_height: Length
    over_key: Limits
    over_key_stock: Limits | None
    stock: str | None
    cutter: Length | None
    side_move: Limits | None
    from_end: Length | None
    finding: EdgeFinding | None
    passes: tuple[MillingPass, ...]
    runs: tuple[CutterPath, ...]
    woodruff: WoodruffSetup | None
    spindle: Spindle | None
    after: After | None
    source: str
    status: str
    remarks: tuple[str, ...]


def half(length: Length) -> Length:
    """Half a length, half-even to 1 nm."""
    return Length(round(Fraction(length.nm, 2)))
