"""How far a piece's figures may lie from the hub's: one place that both the rules and the store's reading use."""

from __future__ import annotations

from dataclasses import dataclass

from broachplan.keyways.keyway import Keyway
from broachplan.lengths import Length
from broachplan.settings import Settings


@dataclass(frozen=True, slots=True)
class Bounds:
    """The limits, both included, within which a piece can serve one hub.

    ``width`` is a broach's keyway width, ``bushing_od`` a bushing's outside diameter, ``slot_clearance`` the most a slot
    may be wider than the broach in it, ``shim_clearance`` the most a shim may be narrower than the slot.
    """

    width: tuple[Length, Length]
    bushing_od: tuple[Length, Length]
    slot_clearance: Length
    shim_clearance: Length

    def slot_width(self, widest: Length) -> tuple[Length, Length]:
        """The widths a slot may have for a broach ``widest`` at its widest."""
        return widest, widest + self.slot_clearance

    def shim_width(self, slot_width: Length) -> tuple[Length, Length]:
        """The widths a shim may have in a slot ``slot_width`` wide."""
        return slot_width - self.shim_clearance, slot_width

    def shim_width_beside(self, broach_width: Length) -> tuple[Length, Length]:
        """The widths a shim may have in any slot that could be cut for a broach ``broach_width`` wide."""
        return broach_width - self.shim_clearance, broach_width + self.slot_clearance

    @property
    def shim_width_for_keyway(self) -> tuple[Length, Length]:
        """The widths a shim may have in any slot that could be cut for a broach within ``width``."""
        return self.shim_width_beside(self.width[0])[0], self.shim_width_beside(self.width[1])[1]


def bounds_of(keyway: Keyway, bore_lower: Length, settings: Settings) -> Bounds:
    """The bounds for a keyway in a bore whose smallest size is ``bore_lower``: rules width, bushing_fit,
    slot_fit and shim_fit."""
    return Bounds(
        width=(keyway.width.lower, keyway.width.upper),
        bushing_od=(bore_lower - settings.bushing_clearance, bore_lower),
        slot_clearance=settings.slot_clearance,
        shim_clearance=settings.shim_clearance,
    )
