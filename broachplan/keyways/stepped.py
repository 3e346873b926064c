"""The stepped key for a shaft and a hub whose keyways differ in size.

The step lies at the line where the shaft keyseat's sides meet the surface: there a shoulder that is wider in the hub
clears the shaft, and one that is wider in the shaft clears the bore. Plain geometry; that the step is set clear of the
seat at its deepest or shallowest is common practice, no source.
"""

from __future__ import annotations

from fractions import Fraction

from broachplan.errors import InputError
from broachplan.keyways.joint import KeyStock, Seat, StandardFigures, Stepped
from broachplan.lengths import Length, Limits
from broachplan.standards.named import Shape

STEP_REMARK = (
    "the step is set to clear shaft and bore with the keyseat at either end of its limits, and as closely as the key "
    "is high (common practice, no source)"
)


def stepped_key(
    shaft: StandardFigures, hub: StandardFigures, seat: Seat, shaft_stock: KeyStock, hub_stock: KeyStock
) -> Stepped:
    """The key that fills the shaft's seat for its own key and the hub's keyway for another.

    Raises
    ------
    InputError : a taper or Woodruff key, or keys too low to leave height on both sides of the step.
    """
    for figures in (shaft, hub):
        if figures.key.shape in (Shape.TAPER, Shape.WOODRUFF):
            raise InputError(
                "hub key",
                f"a stepped key is made of two parallel keys, and {figures.key.name} is {figures.key.shape}",
            )
    total = hub.over_key - seat.reading.nominal
    height = Limits(
        total,
        total + (hub_stock.height.lower - hub_stock.height.nominal),
        total + (hub_stock.height.upper - hub_stock.height.nominal),
    )
    in_shaft = _in_shaft(shaft, hub, seat, height)
    if not Length(0) < in_shaft.lower <= in_shaft.upper < height.lower:
        raise InputError(
            "hub key",
            f"{shaft.key.name} in the shaft and {hub.key.name} in the hub leave no height for a step",
        )
    step = Length(round(Fraction(abs(hub.key.width.nm - shaft.key.width.nm), 2)))
    return Stepped(hub.key, shaft_stock.width, hub_stock.width, height, in_shaft, step)


def _in_shaft(shaft: StandardFigures, hub: StandardFigures, seat: Seat, height: Limits) -> Limits:
    if hub.key.width > shaft.key.width:
        least = seat.at_edge + (seat.reading.nominal - seat.reading.lower)
        return Limits(least, least, least + height.spread)
    most = seat.at_edge - (seat.reading.upper - seat.reading.nominal)
    return Limits(most, most - height.spread, most)
