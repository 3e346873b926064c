"""Metric parallel keys: readings, depths and width limits. Source: ISO 773 / DIN 6885-1, widths ISO 286."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import ClassVar

from broachplan.errors import InputError
from broachplan.keyways.inch import NEAR_BOUNDARY
from broachplan.keyways.joint import MEMORY, KeyStock, Part, StandardFigure
from broachplan.keyways.key import Key, KeySize, size_name
from broachplan.keyways.keyway import arc_height, chord_square, nearest_half
from broachplan.lengths import Length, Limits, write_exact
from broachplan.standards.corners import Corners
from broachplan.standards.iso_286 import key_limits, keyway_width
from broachplan.standards.metric_keys import MetricKey, metric_key_by_width, metric_key_for_shaft, metric_keys
from broachplan.standards.named import Fit, Shape, Standard, one_of

METRIC_FITS = (Fit.CLOSE, Fit.NORMAL, Fit.FREE)


@dataclass(frozen=True, slots=True)
class MetricFigures:
    """What the metric standard gives for one diameter and one row of its table; all sums are exact."""

    standard: ClassVar[Standard] = Standard.METRIC
    shaft_remarks: ClassVar[tuple[str, ...]] = ()
    cutter: ClassVar[None] = None
    remarks: ClassVar[tuple[str, ...]] = ()
    diameter: Length
    row: MetricKey
    fit: Fit
    top_clearance: bool
    off_table: str | None

    @property
    def key(self) -> Key:
        """The row's key."""
        return _key(self.row)

    @property
    def source(self) -> str:
        """The publications the figures are from."""
        zone = keyway_width(self.fit, Part.HUB, self.row.width)
        return f"{self.row.source}, widths {zone.source}" if zone else self.row.source

    @property
    def arc(self) -> Length:
        """y = (D - sqrt(D^2 - b^2)) / 2."""
        return arc_height(self.diameter, self.row.width)

    @property
    def over_key(self) -> Length:
        """D - t1 + h."""
        return self.diameter - self.row.shaft_depth + self.row.height

    @property
    def depth_from_top(self) -> Length:
        """t1: it is measured from the top of the arc."""
        return self.row.shaft_depth

    @property
    def depth_at_wall(self) -> Length:
        """t2 and the arc."""
        return depth_at_wall(self.diameter, self.row.width, self.diameter + self._hub_depth)

    @property
    def depth_at_edge(self) -> Length:
        """t1 less the arc."""
        return self.row.shaft_depth - self.arc

    @property
    def chord(self) -> Length:
        """b: one arc for shaft and hub."""
        return self.row.width

    @property
    def stocks(self) -> tuple[KeyStock, ...]:
        """The key by ISO 286: h9 wide; as high, or h11 where it is higher or lower than wide."""
        width, height = key_limits(self.row.width, self.row.height)
        if width is None or height is None:
            raise InputError(f"key {self.key.name}", "the metric standard has no limits for the key itself")
        name = f"key {width.labels[2]} wide, {height.labels[2]} high"
        return (KeyStock(name, width.around(self.row.width), height.around(self.row.height), width.status),)

    @property
    def corners(self) -> Corners:
        """Radius in the keyways and chamfer of the key."""
        return self.row.corners

    def width(self, part: Part, nominal: Length | None = None) -> StandardFigure:
        """Limits of the keyway's width: P9, or N9 in the shaft and JS9 in the hub, or H9 and D10, by fit."""
        zone = keyway_width(self.fit, part, self.row.width)
        if zone is None:
            raise InputError(
                f"key {self.key.name}", f"the metric standard has no {self.fit} width limits for it"
            )
        return StandardFigure(zone.around(nominal or self.row.width), f"{part} width limits", zone.status)

    def shaft_reading(self) -> StandardFigure:
        """D - t1; the deviations of t1 count the other way."""
        nominal, zone = self.diameter - self.row.shaft_depth, self.row.shaft_zone
        return StandardFigure(
            Limits(nominal, nominal - zone.upper, nominal - zone.lower), "depth", zone.status
        )

    def hub_reading(self, nominal: Length | None = None) -> StandardFigure:
        """D + t2 with the deviations of t2; without top clearance these are taken to be the same."""
        limits = self.row.hub_zone.around(nominal or self.diameter + self._hub_depth)
        if self.top_clearance:
            return StandardFigure(limits, "depth", self.row.hub_zone.status)
        return StandardFigure(limits, "limits of the hub depth without top clearance", MEMORY)

    @property
    def _hub_depth(self) -> Length:
        return self.row.hub_depth if self.top_clearance else self.row.hub_depth_no_top_clearance


def metric_figures(
    diameter: Length, size: KeySize | None, shape: Shape | None, fit: Fit | None, top_clearance: bool
) -> MetricFigures:
    """The metric standard for a shaft or bore; the table's key unless one of its widths is named.

    Raises
    ------
    InputError : no key in the table for the diameter and none named, a key that is not in the table or does not
        go into the diameter, a shape or fit that the standard does not have.
    """
    if fit is not None and fit not in METRIC_FITS:
        raise InputError("fit", f"the metric standard has {one_of(METRIC_FITS)}", shown=fit)
    row = _row_named(size) if size else _row_by_shaft(diameter)
    key = _key(row)
    if shape is Shape.TAPER:
        raise InputError("shape", "the metric table has parallel keys only", shown="taper")
    if shape not in (None, key.shape):
        raise InputError("shape", f"the metric key {key.name} is {key.shape}", shown=shape)
    figures = MetricFigures(diameter, row, fit or Fit.NORMAL, top_clearance, _off_table(diameter, row))
    if figures.arc >= row.shaft_depth:
        raise InputError(f"key {key.name}", f"too wide for a shaft or bore of {size_name(diameter)}")
    return figures


def depth_at_wall(diameter: Length, width: Length, reading: Length) -> Length:
    """Depth of a hub keyway at its side walls: T - (D - y), rounded half-even to 1 nm."""
    return Length(-nearest_half(diameter.nm - 2 * reading.nm, chord_square(diameter, width)))


def _key(row: MetricKey) -> Key:
    return Key(row.width, row.height, Shape.SQUARE if row.width == row.height else Shape.RECTANGULAR)


def _row_by_shaft(diameter: Length) -> MetricKey:
    row = metric_key_for_shaft(diameter)
    if row is None:
        raise InputError(
            "key",
            f"the metric table goes {_span()}, and this is {size_name(diameter)}; name the key, or for a hub give its keyway width and reading, both with limits",
        )
    return row


def _row_named(size: KeySize) -> MetricKey:
    row = metric_key_by_width(size.width)
    if row is None:
        widths = ", ".join(write_exact(key.width).removesuffix(" mm") for key in metric_keys())
        raise InputError(
            "key",
            f"the metric table has no key {size_name(size.width)} wide; it has {widths} mm; name one, or the inch standard, or for a hub give its keyway width and reading, both with limits",
        )
    if size.height not in (None, row.height):
        asked = Key(size.width, size.height or row.height, Shape.RECTANGULAR)
        raise InputError(
            "key",
            f"the metric table has no key {asked.name}; it has {_key(row).name}; name that, or for a hub give its keyway width and reading, both with limits",
        )
    return row


def _off_table(diameter: Length, row: MetricKey) -> str | None:
    said = []
    table = metric_key_for_shaft(diameter)
    if table is None:
        said.append(f"the metric table has no key for {size_name(diameter)}: it goes {_span()}")
    elif table != row:
        said.append(
            f"key {_key(row).name} is not the table's for {size_name(diameter)}, which is {_key(table).name}"
        )
    for below, above in pairwise(metric_keys()):
        if abs(diameter - below.shaft_to) <= NEAR_BOUNDARY:
            said.append(
                f"within 0.127 mm of {size_name(below.shaft_to)}: {_key(below).name} up to it, {_key(above).name} over it"
            )
    return "; ".join(said) or None


def _span() -> str:
    return f"from over {size_name(metric_keys()[0].shaft_over)} to {size_name(metric_keys()[-1].shaft_to)}"
