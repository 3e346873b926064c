"""How T is measured with what is at hand: what a gauge should read, and the T that follows from what it reads.

T runs in the middle plane of the keyway from its floor to the wall of the bore opposite. Each way measures T less
something that is known, so that both directions are one sum in whole nanometres.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from broachplan.errors import InputError
from broachplan.keyways.keyway import arc_height, half_root
from broachplan.lengths import Length, write_exact


class Way(StrEnum):
    """Ways to measure T."""

    INSIDE = "inside"
    BLOCK = "block"
    WALL = "wall"
    FLOOR = "floor"


@dataclass(frozen=True, slots=True)
class GaugedBore:
    """What a way of gauging needs to know of the bore and the keyway in it.

    ``nominal`` does for an anvil; ``measured`` is the bore itself, None where nobody measured it; ``width`` is the keyway's.
    """

    nominal: Length
    measured: Length | None
    width: Length


@dataclass(frozen=True, slots=True)
class GaugeWay:
    """One way to measure T: the gauge reads ``less`` than T.

    Make it with `gauge_way`.
    """

    way: Way
    less: Length

    def reads(self, t: Length) -> Length:
        """What the gauge should read where the keyway's T is ``t``.

        Raises
        ------
        InputError : there is nothing left to measure, as over a block that is higher than T.
        """
        reads = t - self.less
        if reads <= Length(0):
            raise InputError(
                self.way.value,
                f"nothing is left to measure of {write_exact(t)}: {write_exact(self.less)} is taken off",
            )
        return reads

    def t_of(self, read: Length) -> Length:
        """T, where the gauge reads ``read``."""
        return read + self.less


# A ball or a knife edge from the floor to the wall.
T_ITSELF = GaugeWay(Way.INSIDE, Length(0))


def gauge_way(
    way: Way,
    bore: GaugedBore,
    *,
    block: Length | None = None,
    anvil: Length | None = None,
    other: Length | None = None,
) -> GaugeWay:
    """A way to measure T with what is at hand.

    Parameters
    ----------
    block : height of the block or key that lies in the keyway; the gauge then reads T - k.
    anvil : width of a flat anvil on the bore's wall, which reads short; None: a ball or a knife edge.
    other : T1 of the keyway opposite; floor to floor the gauge reads T1 + T2 - D.

    Raises
    ------
    InputError : a size that the way needs is not given, or one that it has no use for.

    The depth at the side wall is T - z1 with z1 = (D + sqrt(D^2 - W^2)) / 2 of the measured bore: with any other the whole
    tolerance of the bore would go into it, and likewise floor to floor. Source: plain geometry of the circle.
    """
    _only_for(way, {"block": block, "anvil": anvil, "other reading": other})
    short = _short_by(anvil, bore.measured or bore.nominal) if anvil is not None else Length(0)
    if way is Way.INSIDE:
        return GaugeWay(way, short)
    if way is Way.BLOCK:
        height = _needed(block, "block", "type the height of the block or key that lies in the keyway")
        return GaugeWay(way, height + short)
    measured = _needed(
        bore.measured,
        "bore as measured",
        "measure the bore and type its size: its whole tolerance would go into the depth",
    )
    if way is Way.WALL:
        return GaugeWay(way, Length(half_root(measured, bore.width)[1]))
    first = _needed(other, "other reading", "type T of the keyway opposite, as it was read")
    if first <= measured:
        raise InputError(
            "other reading",
            f"a keyway floor reads more than the bore, {write_exact(measured)}",
            shown=write_exact(first),
        )
    return GaugeWay(way, measured - first)


def read_way(text: str) -> Way:
    """A way by its word; `InputError` where it is none."""
    try:
        return Way(text.strip().lower())
    except ValueError:
        raise InputError("way", f"write {', '.join(Way)}", read=text) from None


_TAKES = {
    "block": (Way.BLOCK,),
    "anvil": (Way.INSIDE, Way.BLOCK),
    "other reading": (Way.FLOOR,),
}


def _only_for(way: Way, given: dict[str, Length | None]) -> None:
    for name, size in given.items():
        if size is not None and way not in _TAKES[name]:
            ways = " or ".join(_TAKES[name])
            raise InputError(
                name, f"it belongs to the way {ways}", shown=f"{write_exact(size)} for the way {way}"
            )


def _needed(size: Length | None, name: str, right: str) -> Length:
    if size is None:
        raise InputError(name, right)
    return size


def _short_by(anvil: Length, bore: Length) -> Length:
    """How far the middle of a flat anvil is off the wall: R - sqrt(R^2 - a^2/4), half-even to 1 nm."""
    if anvil >= bore:
        raise InputError(
            "anvil", f"it must be narrower than the bore, {write_exact(bore)}", shown=write_exact(anvil)
        )
    # A chord of the anvil's width: the arc over it is as high as that of a keyway as wide.
    return arc_height(bore, anvil)
