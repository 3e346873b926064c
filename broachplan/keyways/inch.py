"""Inch parallel and taper keys: S, T and their limits. Source: ASME B17.1-1967 (R2013)."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from typing import ClassVar

from broachplan.errors import InputError
from broachplan.keyways.joint import KeyStock, Part, StandardFigure
from broachplan.keyways.key import Key, KeySize, size_name
from broachplan.keyways.keyway import arc_height, chord_square, nearest_half
from broachplan.lengths import Length
from broachplan.standards.corners import Corners, inch_corners
from broachplan.standards.inch_keys import (
    InchKey,
    inch_key_by_width,
    inch_key_for_shaft,
    inch_keys,
    keyseat_depth,
    keyseat_width,
    stock_limits,
)
from broachplan.standards.named import Fit, Shape, Standard, one_of
from broachplan.standards.table import Zone

INCH_FITS = (Fit.CLASS_1, Fit.CLASS_2)
NEAR_BOUNDARY = Length.inches("0.005")
_OVER_PARALLEL = Length.inches("0.005")
_OVER_TAPER = Length.inches("-0.020")
_KEY_STOCK = ("key stock", "keystock")
_STOCKS = {
    (Fit.CLASS_1, False): (("bar stock", "bar stock"), _KEY_STOCK),
    (Fit.CLASS_2, False): (_KEY_STOCK,),
    (Fit.CLASS_2, True): (("taper key", "taper stock"),),
}
_TAPER_REMARK = "taper 1/8 in a foot: the hub's reading holds at the deep end"


@dataclass(frozen=True, slots=True)
class InchFigures:
    """What the inch standard gives for one diameter and key; lengths rounded once, half-even to 1 nm."""

    standard: ClassVar[Standard] = Standard.INCH
    shaft_remarks: ClassVar[tuple[str, ...]] = ()
    cutter: ClassVar[None] = None
    diameter: Length
    key: Key
    fit: Fit
    remarks: tuple[str, ...]
    off_table: str | None

    @property
    def source(self) -> str:
        """The publication all figures are from."""
        return inch_keys()[0].source

    @property
    def arc(self) -> Length:
        """y = (D - sqrt(D^2 - W^2)) / 2."""
        return arc_height(self.diameter, self.key.width)

    @property
    def over_key(self) -> Length:
        """M = D - y + H/2."""
        return Length(nearest_half(self.diameter.nm + self.key.height.nm, self._square))

    @property
    def depth_from_top(self) -> Length:
        """D - S = y + H/2."""
        return Length(-nearest_half(-self.diameter.nm - self.key.height.nm, self._square))

    @property
    def depth_at_wall(self) -> Length:
        """H/2 + C."""
        return Length(round(Fraction(self.key.height.nm + 2 * self._over.nm, 2)))

    @property
    def depth_at_edge(self) -> Length:
        """H/2 in the shaft."""
        return Length(round(Fraction(self.key.height.nm, 2)))

    @property
    def chord(self) -> Length:
        """W: one arc for shaft and hub."""
        return self.key.width

    @property
    def stocks(self) -> tuple[KeyStock, ...]:
        """What the key is made of: class 1 is meant for bar stock, class 2 for key stock."""
        taper = self.key.shape is Shape.TAPER
        return tuple(self._stock(name, label) for name, label in _STOCKS[self.fit, taper])

    @property
    def corners(self) -> Corners | None:
        """Fillet and chamfer suggested for the key's height."""
        return inch_corners(self.key.height)

    def width(self, part: Part, nominal: Length | None = None) -> StandardFigure:  # noqa: ARG002 - one zone for both
        """Limits of the keyseat's width; shaft and hub have the same."""
        return self._figure(
            keyseat_width(self.fit, self.key.shape, self.key.width), nominal or self.key.width, "width limits"
        )

    def shaft_reading(self) -> StandardFigure:
        """S = D - y - H/2, +0.000 -0.015 in."""
        nominal = Length(nearest_half(self.diameter.nm - self.key.height.nm, self._square))
        zone = keyseat_depth(Part.SHAFT, self.fit, self.key.shape, self.key.width)
        return self._figure(zone, nominal, "depth limits")

    def hub_reading(self, nominal: Length | None = None) -> StandardFigure:
        """T = D - y + H/2 + C, +0.010 -0.000 in."""
        if nominal is None:
            whole = self.diameter.nm + self.key.height.nm + 2 * self._over.nm
            nominal = Length(nearest_half(whole, self._square))
        zone = keyseat_depth(Part.HUB, self.fit, self.key.shape, self.key.width)
        return self._figure(zone, nominal, "depth limits")

    def _stock(self, name: str, label: str) -> KeyStock:
        shape, key = self.key.shape, self.key
        width = self._figure(stock_limits(label, shape, "width", key.width), key.width, f"limits of {name}")
        height = self._figure(
            stock_limits(label, shape, "height", key.width), key.height, f"limits of {name}"
        )
        return KeyStock(name, width.limits, height.limits, width.status)

    @property
    def _over(self) -> Length:
        return _OVER_TAPER if self.key.shape is Shape.TAPER else _OVER_PARALLEL

    @property
    def _square(self) -> int:
        return chord_square(self.diameter, self.key.width)

    def _figure(self, zone: Zone | None, nominal: Length, what: str) -> StandardFigure:
        if zone is None:
            raise InputError(
                f"key {self.key.name}",
                f"the inch standard has no {what} for a {self.key.shape} key of this width; for a hub give its keyway width and reading, both with limits",
            )
        return StandardFigure(zone.around(nominal), f"{what} of class {self.fit}", zone.status)


def inch_figures(diameter: Length, size: KeySize | None, shape: Shape | None, fit: Fit | None) -> InchFigures:
    """The inch standard for a shaft or bore; the table's key and preferred shape, unless others are named.

    Raises
    ------
    InputError : no key in the table and none named, a key that does not go into the diameter, a shape or
        fit that the standard does not have.
    """
    key = _key_named(size, shape) if size else _key_by_shaft(diameter, shape)
    used, remarks = _fit(fit, key.shape)
    figures = InchFigures(diameter, key, used, remarks, _off_table(diameter, key))
    if nearest_half(diameter.nm - key.height.nm, chord_square(diameter, key.width)) <= 0:
        raise InputError(f"key {key.name}", f"too high for a shaft or bore of {size_name(diameter)}")
    if figures.depth_at_wall.nm <= 0:
        raise InputError(f"key {key.name}", "too low for a taper key; the hub's keyway would have no depth")
    return figures


def _fit(fit: Fit | None, shape: Shape) -> tuple[Fit, tuple[str, ...]]:
    if fit is not None and fit not in INCH_FITS:
        raise InputError("fit", f"the inch standard has class {one_of(INCH_FITS)}", shown=fit)
    if shape is not Shape.TAPER:
        return fit or Fit.CLASS_1, ()
    if fit is Fit.CLASS_1:
        return Fit.CLASS_2, ("class 1 has no taper keys: class 2 is used", _TAPER_REMARK)
    return Fit.CLASS_2, (_TAPER_REMARK,)


def _height(row: InchKey, shape: Shape | None) -> Length | None:
    """The table's height for a shape; a taper key, or none named, has the preferred shape's."""
    if shape in (None, Shape.TAPER):
        shape = Shape(row.preferred)
    return row.square_height if shape is Shape.SQUARE else row.rectangular_height


def _key_by_shaft(diameter: Length, shape: Shape | None) -> Key:
    row = inch_key_for_shaft(diameter)
    if row is None:
        raise InputError(
            "key",
            f"the inch table goes {_span()}, and this is {size_name(diameter)}; name the key, or for a hub give its keyway width and reading, both with limits",
        )
    height = _height(row, shape)
    if height is None:
        raise InputError(
            "shape",
            f"the inch table has no {shape} key for {size_name(diameter)}; it has {_table_key(row, None).name}",
        )
    return Key(row.width, height, shape or Shape(row.preferred))


def _key_named(size: KeySize, shape: Shape | None) -> Key:
    width, height = size
    if height is None:
        return _key_of_width(width, shape)
    own = Shape.SQUARE if width == height else Shape.RECTANGULAR
    if shape not in (None, own, Shape.TAPER):
        raise InputError("shape", f"a key of {Key(width, height, own).name} is {own}", shown=shape)
    return Key(width, height, shape or own)


def _key_of_width(width: Length, shape: Shape | None) -> Key:
    row = inch_key_by_width(width)
    height = _height(row, shape) if row else None
    if row and height:
        return Key(width, height, shape or Shape(row.preferred))
    if shape is Shape.RECTANGULAR:
        raise InputError(
            "key", f"the inch table has no rectangular key {size_name(width)} wide; write width x height"
        )
    return Key(width, width, shape or Shape.SQUARE)


def _off_table(diameter: Length, key: Key) -> str | None:
    said = []
    row = inch_key_for_shaft(diameter)
    if row is None:
        said.append(f"the inch table has no key for {size_name(diameter)}: it goes {_span()}")
    elif key.width != row.width or key.height not in (row.square_height, row.rectangular_height):
        table = _table_key(row, key.shape)
        said.append(f"key {key.name} is not the table's for {size_name(diameter)}, which is {table.name}")
    for below, above in pairwise(inch_keys()):
        if abs(diameter - below.shaft_to) <= NEAR_BOUNDARY:
            lower, upper = _table_key(below, key.shape), _table_key(above, key.shape)
            said.append(
                f"within 0.005 in of {size_name(below.shaft_to)}: {lower.name} up to it, {upper.name} over it"
            )
    return "; ".join(said) or None


def _table_key(row: InchKey, shape: Shape | None) -> Key:
    """The row's key in a shape, else in the shape it has."""
    used = shape if _height(row, shape) else None
    height = _height(row, used)
    return Key(row.width, height or row.width, used or Shape(row.preferred))


def _span() -> str:
    return f"from over {size_name(inch_keys()[0].shaft_over)} to {size_name(inch_keys()[-1].shaft_to)}"
