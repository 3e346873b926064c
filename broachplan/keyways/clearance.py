"""The whole fit: what is free at the sides of a key and on top of it, most and least."""

from __future__ import annotations

from broachplan.keyways.joint import Clearance, KeyStock, Seat
from broachplan.lengths import Length, Limits


def clearance(shaft: Seat, hub: Seat, stock: KeyStock, hub_width: Limits | None = None) -> Clearance:
    """The fit of a key in its two keyways; ``hub_width`` is the key's width in the hub where that is another."""
    top = Limits(
        hub.reading.nominal - shaft.reading.nominal - stock.height.nominal,
        hub.reading.lower - shaft.reading.upper - stock.height.upper,
        hub.reading.upper - shaft.reading.lower - stock.height.lower,
    )
    return Clearance(stock, _free(shaft.width, stock.width), _free(hub.width, hub_width or stock.width), top)


def over_key(nominal: Length, shaft: Seat, height: Limits) -> Limits:
    """Over shaft and seated key, from the lowest key in the deepest seat to the highest in the shallowest."""
    return Limits(nominal, shaft.reading.lower + height.lower, shaft.reading.upper + height.upper)


def _free(keyway: Limits, key: Limits) -> Limits:
    return Limits(keyway.nominal - key.nominal, keyway.lower - key.upper, keyway.upper - key.lower)
