"""Setting a Woodruff cutter: its height on the shaft, its place along it, and how far it feeds in.

The cutter lies flat under a vertical spindle and cuts from the side. Plain geometry; touching off the top with the
cutter's lower face and the side with its rim is common practice, no source.
"""

from __future__ import annotations

from math import isqrt

from broachplan.errors import InputError
from broachplan.keyways.joint import Cutter, Joint
from broachplan.keyways.milling_card import CardRequest, WoodruffSetup, half
from broachplan.lengths import Length, Limits, write_exact


def woodruff_setup(joint: Joint, cutter: Cutter, shaft: Limits, asked: CardRequest) -> WoodruffSetup:
    """How to set the cutter of a Woodruff joint; ``asked.from_end`` is the shaft's end to the middle of the key.

    Raises
    ------
    InputError : a length, which the cutter makes by itself, a finder without a place to find, or a cutter that is
        not near the key's diameter.
    """
    if asked.length is not None:
        raise InputError(
            "length", "a Woodruff keyseat is as long as its cutter makes it; leave the length out"
        )
    if asked.finder is not None and asked.from_end is None:
        raise InputError(
            "finder", "for a Woodruff key it finds the shaft's end; say how far from it the key is"
        )
    diameter = asked.cutter or cutter.diameter
    if abs(diameter - cutter.diameter) * 10 > cutter.diameter:
        raise InputError(
            "cutter",
            f"for key {joint.key.name} it is near {write_exact(cutter.diameter)}",
            shown=write_exact(diameter),
        )
    place = asked.from_end
    return WoodruffSetup(
        cutter=cutter,
        diameter=diameter,
        half_cutter=half(cutter.width.nominal),
        half_shaft=half(shaft.nominal),
        place=place,
        from_rim=half(diameter) + place if place else None,
        from_finder=half(asked.finder) + place if place and asked.finder else None,
        seat_length=chord_at(diameter, joint.shaft.at_edge),
        at_edge=joint.shaft.at_edge,
    )


def cutter_remarks(setup: WoodruffSetup) -> tuple[str, ...]:
    """What there is to say of a cutter that the standard does not have."""
    limits = setup.cutter.diameter_limits
    if limits is None or setup.diameter in limits:
        return ()
    return (
        f"the cutter is {write_exact(setup.diameter)}; the standard's is "
        f"{write_exact(limits.lower)} to {write_exact(limits.upper)}",
    )


def chord_at(diameter: Length, depth: Length) -> Length:
    """Length of the cut of a round cutter fed in to ``depth``: 2 sqrt(depth (diameter - depth)), rounded down to 1 nm."""
    return Length(isqrt(4 * depth.nm * (diameter.nm - depth.nm)))
