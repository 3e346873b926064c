"""What a plan may choose from: the pieces of one crib at one moment, and why some are off the shelf."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from broachplan.tooling.pieces import Broach, Bushing, Press, Shim


@dataclass(frozen=True, slots=True)
class Beyond:
    """Pieces that a bound kept from being read: how many, and those nearest to the bound."""

    count: int = 0
    nearest_broaches: tuple[Broach, ...] = ()
    nearest_bushings: tuple[Bushing, ...] = ()


@dataclass(frozen=True, slots=True)
class Shelf:
    """A snapshot of a crib.

    ``off`` maps the tag of a piece that is not there, or not fit, to the reason in words; ``due`` the tag of a broach
    that is due for inspection or a regrind to what for and why; ``homes`` the tag of a piece to where it lives.
    ``broaches_beyond`` and ``bushings_beyond`` stand for pieces outside the width and bore bounds that were counted and not read.
    """

    broaches: tuple[Broach, ...] = ()
    bushings: tuple[Bushing, ...] = ()
    shims: tuple[Shim, ...] = ()
    presses: tuple[Press, ...] = ()
    off: Mapping[str, str] = field(default_factory=dict)
    broaches_beyond: Beyond = field(default_factory=Beyond)
    bushings_beyond: Beyond = field(default_factory=Beyond)
    due: Mapping[str, str] = field(default_factory=dict)
    homes: Mapping[str, str] = field(default_factory=dict)
