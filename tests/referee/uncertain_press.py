"""A press in a shop where nothing is quite what the books say: real pieces, oil, gaps and a gauge, drawn by chance.

Written from the picture of the work, without the program's formulas. Everything lies on the wall of the bore opposite the
keyway, one on the other: a gap, the web of the bushing, oil, a shim, oil, ..., the broach. Lengths are nanometres.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from random import Random

UM = 1_000

# How far a figure may be off, by what it was measured with, either way (from memory, as the shop's settings are).
OFF = {"micrometer": 5 * UM, "height gauge": 20 * UM, "caliper": 30 * UM, "": 50 * UM}
FILM = 5 * UM
GAUGE = 10 * UM


@dataclass(frozen=True)
class Figure:
    """What the books say of a piece, and how far off that may be."""

    kept: int
    off: int

    def real(self, chance: Random) -> float:
        """What it really is."""
        return self.kept + chance.uniform(-self.off, self.off)


@dataclass(frozen=True)
class Gaps:
    """How far the back of the bushing is off the far wall: at the collar's end, and where bushing or hub ends."""

    near: float
    far: float

    def at(self, along: float, guided: float) -> float:
        """The broach is straight: from the collar on, and past the end of the bushing."""
        return self.near + (self.far - self.near) * along / guided


@dataclass(frozen=True)
class Shop:
    """The pieces as the books have them."""

    broach: Figure
    bushing: Figure
    shims: Mapping[str, Figure]

    def pieces(self, chance: Random) -> Pieces:
        """One of the shops that this one may really be."""
        return Pieces(
            self.broach.real(chance),
            self.bushing.real(chance),
            {tag: shim.real(chance) for tag, shim in self.shims.items()},
        )

    def by_the_books(self, stack: Sequence[str]) -> int:
        """What a stack adds up to on paper."""
        return self.broach.kept + self.bushing.kept + sum(self.shims[tag].kept for tag in stack)


@dataclass(frozen=True)
class Pieces:
    """The pieces as they are."""

    broach: float
    bushing: float
    shims: Mapping[str, float]

    def cut(self, stack: Sequence[str], chance: Random, gap: float = 0.0) -> float:
        """Where the keyway's floor comes out over the far wall: one thing on the other, oil in between."""
        height = gap + self.bushing
        for tag in stack:
            height += chance.uniform(0, FILM) + self.shims[tag]
        return height + chance.uniform(0, FILM) + self.broach


def gauged(floor: float, chance: Random) -> int:
    """What the gauge says of a floor."""
    return round(floor + chance.uniform(-GAUGE, GAUGE))
