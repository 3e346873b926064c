"""How far a piece's figures may lie from the hub's: one place that both the rules and the store's reading use."""

from __future__ import annotations

from dataclasses import dataclass

from broachplan.keyways.keyway import Keyway
from broachplan.lengths import Length
from broachplan.settings import Settings


@dataclass(frozen=True, slots=True)
class Bounds:
    """The limits, both included, within which a piece can serve one hub.

    ``width`` is a broach's keyway width, ``bushing_od`` a bushing's outside diameter, ``shim_clearance`` the most a
    shim may be narrower than the slot it lies in.
    """

    width: tuple[Length, Length]
    bushing_od: tuple[Length, Length]
    shim_clearance: Length

    def shim_width(self, slot_width: Length) -> tuple[Length, Length]:
        """The widths a shim may have in a slot ``slot_width`` wide."""
        return slot_width - self.shim_clearance, slot_width


def bounds_of(keyway: Keyway, bore_lower: Length, settings: Settings) -> Bounds:
    """The bounds for a keyway in a bore whose smallest size is ``bore_lower``: rules width, bushing_fit, shim_fit."""
    return Bounds(
        width=(keyway.width.lower, keyway.width.upper),
        bushing_od=(bore_lower - settings.bushing_clearance, bore_lower),
        shim_clearance=settings.shim_clearance,
    )
