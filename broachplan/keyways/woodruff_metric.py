"""Metric Woodruff keys: readings, depths and width limits. Source: ISO 3912, widths ISO 286.

That keyway widths have the zones of parallel keys, and keys are h9 wide and h12 high, is from memory. Depths lie on the centre plane.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from broachplan.errors import InputError
from broachplan.keyways.joint import MEMORY, Cutter, KeyStock, Part, StandardFigure
from broachplan.keyways.key import Key, KeySize, size_name
from broachplan.keyways.keyway import arc_height
from broachplan.keyways.metric import METRIC_FITS, depth_at_wall
from broachplan.lengths import Length, Limits, write_exact
from broachplan.standards.corners import Corners
from broachplan.standards.iso_286 import key_limits, keyway_width, woodruff_height
from broachplan.standards.named import Fit, Shape, Standard, one_of
from broachplan.standards.woodruff import MetricWoodruff, metric_woodruffs


@dataclass(frozen=True, slots=True)
class WoodruffMetricFigures:
    """What the metric standard gives for one diameter and Woodruff key; all sums are exact."""

    standard: ClassVar[Standard] = Standard.WOODRUFF_METRIC
    diameter: Length
    row: MetricWoodruff
    fit: Fit
    remarks: tuple[str, ...]
    off_table: str | None

    @property
    def key(self) -> Key:
        """The row's key."""
        return _key(self.row)

    @property
    def source(self) -> str:
        """The publications the figures are from."""
        return f"{self.row.source}, widths ISO 286"

    @property
    def shaft_remarks(self) -> tuple[str, ...]:
        """Where the depth is measured; that the keyseat cuts far into a shaft."""
        over_half = 2 * self.depth_from_top.nm > self.diameter.nm
        return ("the keyseat cuts past the middle of the shaft",) if over_half else ()

    @property
    def arc(self) -> Length:
        """y = (D - sqrt(D^2 - b^2)) / 2."""
        return arc_height(self.diameter, self.row.width)

    @property
    def chord(self) -> Length:
        """b: one arc for shaft and hub."""
        return self.row.width

    @property
    def over_key(self) -> Length:
        """D - t1 + h."""
        return self.diameter - self.row.shaft_depth.nominal + self.row.height

    @property
    def depth_from_top(self) -> Length:
        """t1: it is measured from the top of the arc."""
        return self.row.shaft_depth.nominal

    @property
    def depth_at_edge(self) -> Length:
        """t1 less the arc."""
        return self.depth_from_top - self.arc

    @property
    def depth_at_wall(self) -> Length:
        """t2 and the arc."""
        return depth_at_wall(self.diameter, self.row.width, self.diameter + self.row.hub_depth.nominal)

    @property
    def stocks(self) -> tuple[KeyStock, ...]:
        """The key itself: h9 wide and h12 high, both from memory."""
        width, _ = key_limits(self.row.width, self.row.height)
        height = woodruff_height(self.row.height)
        if width is None or height is None:
            raise InputError(f"key {self.key.name}", "no limits are known for the key itself")
        limits = width.around(self.row.width), height.around(self.row.height)
        return (KeyStock("key h9 wide, h12 high", *limits, MEMORY),)

    @property
    def corners(self) -> Corners:
        """Radius in the keyways' corners."""
        return self.row.corners

    @property
    def cutter(self) -> Cutter:
        """A cutter of the key's diameter, as wide as the shaft's keyseat may be."""
        return Cutter(None, self.width(Part.SHAFT).limits, self.row.diameter, None, self.row.status)

    def width(self, part: Part, nominal: Length | None = None) -> StandardFigure:
        """Limits of the keyway's width, by fit the zones of parallel keys (memory)."""
        zone = keyway_width(self.fit, part, self.row.width)
        if zone is None:
            raise InputError(f"key {self.key.name}", f"no {self.fit} width limits are known for it")
        return StandardFigure(zone.around(nominal or self.row.width), f"{part} width limits", MEMORY)

    def shaft_reading(self) -> StandardFigure:
        """D - t1; the deviations of t1 count the other way."""
        depth = self.row.shaft_depth
        nominal, lower, upper = (self.diameter - size for size in (depth.nominal, depth.upper, depth.lower))
        return StandardFigure(Limits(nominal, lower, upper), "depth", self.row.status)

    def hub_reading(self, nominal: Length | None = None) -> StandardFigure:
        """D + t2 with the deviations of t2."""
        depth = self.row.hub_depth
        around = nominal or self.diameter + depth.nominal
        limits = Limits(
            around, around + (depth.lower - depth.nominal), around + (depth.upper - depth.nominal)
        )
        return StandardFigure(limits, "depth", self.row.status)


def woodruff_metric_figures(
    diameter: Length, size: KeySize | None, shape: Shape | None, fit: Fit | None
) -> WoodruffMetricFigures:
    """The metric Woodruff standard for a shaft or bore; the key named, else the table's for shafts that carry torque.

    Raises
    ------
    InputError : no key in the table for the diameter and none named, a key that is not in the table or does not
        go into the diameter, a shape, or a fit that the standard does not have.
    """
    if shape is not None:
        raise InputError("shape", "a Woodruff key has a shape of its own: leave it out", shown=shape)
    if fit is not None and fit not in METRIC_FITS:
        raise InputError("fit", f"metric Woodruff keys have {one_of(METRIC_FITS)}", shown=fit)
    row = _named(diameter, size) if size else _by_torque(diameter)
    remarks = () if size else (_columns(diameter, row),)
    figures = WoodruffMetricFigures(diameter, row, fit or Fit.NORMAL, remarks, _off_table(diameter, row))
    if figures.arc >= row.shaft_depth.nominal:
        raise InputError(f"key {figures.key.name}", f"too wide for a shaft or bore of {size_name(diameter)}")
    if figures.shaft_reading().limits.lower.nm <= 0:
        raise InputError(f"key {figures.key.name}", f"too deep for a shaft or bore of {size_name(diameter)}")
    return figures


def _key(row: MetricWoodruff) -> Key:
    return Key(row.width, row.height, Shape.WOODRUFF, row.diameter)


def _names(found: list[MetricWoodruff]) -> str:
    return ", ".join(_key(row).name.removesuffix(" mm") for row in found) + " mm"


def _by_torque(diameter: Length) -> MetricWoodruff:
    row = _torque_row(diameter)
    if row is None:
        spans = [key.torque for key in metric_woodruffs() if key.torque]
        last = max(span.to for span in spans if span.to)
        raise InputError(
            "key",
            f"the metric Woodruff table goes from over {size_name(spans[0].over)} to {size_name(last)} for shafts that carry torque, and this is {size_name(diameter)}; name a key of {_names([*metric_woodruffs()])}",
        )
    return row


def _torque_row(diameter: Length) -> MetricWoodruff | None:
    return next((row for row in metric_woodruffs() if row.torque and row.torque.hold(diameter)), None)


def _locating_row(diameter: Length) -> MetricWoodruff | None:
    return next((row for row in metric_woodruffs() if row.locating and row.locating.hold(diameter)), None)


def _named(diameter: Length, size: KeySize) -> MetricWoodruff:
    same = [row for row in metric_woodruffs() if row.width == size.width]
    if not same:
        widths = dict.fromkeys(write_exact(row.width).removesuffix(" mm") for row in metric_woodruffs())
        raise InputError(
            "key",
            f"the metric Woodruff table has no key {size_name(size.width)} wide; it has {', '.join(widths)} mm",
        )
    if size.height is not None:
        same_height = [row for row in same if row.height == size.height]
        if not same_height:
            raise InputError(
                "key",
                f"no metric Woodruff key {size_name(size.width)} wide is {size_name(size.height)} high; those of this width are {_names(same)}",
            )
        return same_height[0]
    if len(same) == 1:
        return same[0]
    for row in same:
        if row.torque and row.torque.hold(diameter):
            return row
    raise InputError(
        "key",
        f"several metric Woodruff keys are {size_name(size.width)} wide: {_names(same)}; write width x height",
    )


def _columns(diameter: Length, row: MetricWoodruff) -> str:
    locating = _locating_row(diameter)
    other = f"the column for keys that only locate has {_key(locating).name}" if locating else ""
    note = f"{_key(row).name} is from the table's column for shafts that carry torque"
    return f"{note}; {other}" if other else note


def _off_table(diameter: Length, row: MetricWoodruff) -> str | None:
    if row.torque and row.torque.hold(diameter):
        return None
    carries, locates = _torque_row(diameter), _locating_row(diameter)
    if locates is row:
        has = f"; to carry torque it has {_key(carries).name}" if carries else ""
        return f"the table has key {_key(row).name} for {size_name(diameter)} only to locate{has}"
    has = f", which is {_key(carries).name}" if carries else ""
    return f"key {_key(row).name} is not the Woodruff table's for {size_name(diameter)}{has}"
