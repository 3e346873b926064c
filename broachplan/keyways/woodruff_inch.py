"""Inch Woodruff keys: S, T and their limits. Source: ASME B17.2.

Depths are tabled at the edge, where the keyway's sides meet the surface (from memory of the note in Machinery's
Handbook): a key that projects half its width above that line fits no other reading of the table.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from broachplan.errors import InputError
from broachplan.keyways.joint import MEMORY, Cutter, KeyStock, Part, StandardFigure
from broachplan.keyways.key import Key, KeySize, size_name
from broachplan.keyways.keyway import arc_height, chord_square, nearest_half
from broachplan.lengths import Length, Limits, Units, show
from broachplan.standards.named import Fit, Shape, Standard
from broachplan.standards.woodruff import InchWoodruff, inch_woodruffs, shaft_range, shaft_ranges

# From memory: the hub's least width is the widest key's, in every row.
_KEY_WIDTH_OVER = Length.inches("0.001")
_DATUM = (
    "Woodruff depths are tabled at the edge, where the keyway's sides meet the surface "
    "(from memory of the handbook's note)"
)


@dataclass(frozen=True, slots=True)
class WoodruffInchFigures:
    """What the inch standard gives for one diameter and Woodruff key; lengths rounded once, half-even to 1 nm."""

    standard: ClassVar[Standard] = Standard.WOODRUFF
    fit: ClassVar[None] = None
    corners: ClassVar[None] = None
    remarks: ClassVar[tuple[str, ...]] = (_DATUM,)
    diameter: Length
    row: InchWoodruff
    off_table: str | None

    @property
    def key(self) -> Key:
        """The row's key; its height is the most it may be."""
        return _key(self.row)

    @property
    def source(self) -> str:
        """The publication all figures are from."""
        return self.row.source

    @property
    def shaft_remarks(self) -> tuple[str, ...]:
        """The tabled depth and what to feed for it, and what shops do that take it from the crown."""
        tabled, feed, arc = (
            show(length, Units.INCH) for length in (self.depth_at_edge, self.depth_from_top, self.arc)
        )
        said = (
            f"fed from a touch on the crown of the shaft the tabled depth of {tabled} is {feed}; "
            f"shops that feed {tabled} from the crown cut {arc} shallower, and the key stands that much higher"
        )
        over_half = 2 * self.depth_from_top.nm > self.diameter.nm
        return (said, *(("the keyseat cuts past the middle of the shaft",) if over_half else ()))

    @property
    def arc(self) -> Length:
        """y = (D - sqrt(D^2 - W^2)) / 2 over the key's width."""
        return arc_height(self.diameter, self.row.width)

    @property
    def chord(self) -> Length:
        """The hub keyway's least width, which is the chord of its arc."""
        return self.row.hub_width.nominal

    @property
    def over_key(self) -> Length:
        """D - y + C: the key projects C above the edge."""
        return self._from_edge(self.row.above_shaft, self.row.width)

    @property
    def depth_from_top(self) -> Length:
        """y + B."""
        whole = -self.diameter.nm - 2 * self.depth_at_edge.nm
        return Length(-nearest_half(whole, chord_square(self.diameter, self.row.width)))

    @property
    def depth_at_edge(self) -> Length:
        """B."""
        return self.row.shaft_depth.nominal

    @property
    def depth_at_wall(self) -> Length:
        """E."""
        return self.row.hub_depth.nominal

    @property
    def stocks(self) -> tuple[KeyStock, ...]:
        """The key itself: its height as tabled, its width +0.001 -0.000 in from memory."""
        width = Limits(self.row.width, self.row.width, self.row.width + _KEY_WIDTH_OVER)
        return (KeyStock("Woodruff key", width, self.row.height, MEMORY),)

    @property
    def cutter(self) -> Cutter:
        """A cutter as wide as the shaft's keyseat may be, and its diameter."""
        row = self.row
        return Cutter(row.number, row.shaft_width, row.diameter, row.cutter_diameter, row.width_status)

    def width(self, part: Part, nominal: Length | None = None) -> StandardFigure:
        """Limits of the keyseat's width: A in the shaft, D +0.002 -0.000 in in the hub."""
        tabled = self.row.shaft_width if part is Part.SHAFT else self.row.hub_width
        return StandardFigure(_moved(tabled, nominal), f"{part} width limits", self.row.width_status)

    def shaft_reading(self) -> StandardFigure:
        """S = D - y - B, B +0.005 -0.000 in."""
        nominal = self._from_edge(-self.depth_at_edge, self.row.width)
        return StandardFigure(
            Limits(nominal, nominal - self.row.shaft_depth.spread, nominal), "depth", self.row.status
        )

    def hub_reading(self, nominal: Length | None = None) -> StandardFigure:
        """T = D - y + E, y over the hub keyway's width; E +0.005 -0.000 in."""
        if nominal is None:
            nominal = self._from_edge(self.depth_at_wall, self.chord)
        return StandardFigure(_moved(self.row.hub_depth, nominal), "depth", self.row.status)

    def _from_edge(self, height: Length, width: Length) -> Length:
        """D - y + height, y over ``width``."""
        whole = self.diameter.nm + 2 * height.nm
        return Length(nearest_half(whole, chord_square(self.diameter, width)))


def woodruff_inch_figures(
    diameter: Length, size: KeySize | None, shape: Shape | None, fit: Fit | None
) -> WoodruffInchFigures:
    """The inch Woodruff standard for a shaft or bore; the key named, or the only one that suits.

    Raises
    ------
    InputError : no key named and several suit or none does, a key that is not in the table or does not go into the
        diameter, or a shape or fit, of which Woodruff keys have one.
    """
    if shape is not None:
        raise InputError("shape", "a Woodruff key has a shape of its own: leave it out", shown=shape)
    if fit is not None:
        raise InputError("fit", "inch Woodruff keyseats have one fit: leave it out", shown=fit)
    row = _named(diameter, size) if size else _proposed(diameter, None)
    figures = WoodruffInchFigures(diameter, row, _off_table(diameter, row))
    if figures.shaft_reading().limits.lower.nm <= 0:
        raise InputError(
            f"key {figures.key.name}",
            f"its keyseat is {show(row.shaft_depth.nominal, Units.INCH)} deep, too deep for a shaft or bore of {size_name(diameter)}",
        )
    return figures


def _key(row: InchWoodruff) -> Key:
    return Key(row.width, row.height.nominal, Shape.WOODRUFF, row.diameter, row.number)


def _named(diameter: Length, size: KeySize) -> InchWoodruff:
    """The row of a width with the key's height or, as the trade says it, its diameter."""
    same = [row for row in inch_woodruffs() if row.width == size.width]
    if not same:
        widths = ", ".join(
            size_name(width).removesuffix(" in") for width in sorted({row.width for row in inch_woodruffs()})
        )
        raise InputError(
            "key", f"the Woodruff table has no key {size_name(size.width)} wide; it has {widths} in"
        )
    if size.height is None:
        return _proposed(diameter, size.width)
    for row in same:
        if size.height in (row.height.nominal, row.diameter):
            return row
    raise InputError(
        "key",
        f"no Woodruff key {size_name(size.width)} wide is {size_name(size.height)} high or in diameter; the keys of this width are {', '.join(_key(row).name for row in same)}",
    )


def _proposed(diameter: Length, width: Length | None) -> InchWoodruff:
    """The only key that suits; several or none: ask for one."""
    wanted = f"{size_name(width)} wide " if width else ""
    suit = [row for row in inch_woodruffs() if width in (None, row.width) and _suits(diameter, row)]
    if len(suit) == 1:
        return suit[0]
    if suit:
        raise InputError(
            "key",
            f"the Woodruff keys {wanted}for {size_name(diameter)} are {', '.join(row.number for row in suit)}; name one by its number",
        )
    raise InputError(
        "key",
        f"the table has no Woodruff key {wanted}for {size_name(diameter)}; name one by its number, such as 808",
    )


def _suits(diameter: Length, row: InchWoodruff) -> bool:
    """In the table's range, and not cut past the shaft's middle (common practice, no source)."""
    shafts = shaft_range(row.width)
    if shafts is None or not shafts.shaft_from <= diameter <= shafts.shaft_to:
        return False
    return 2 * (row.shaft_depth.nominal + arc_height(diameter, row.width)).nm <= diameter.nm


def _off_table(diameter: Length, row: InchWoodruff) -> str | None:
    shafts = shaft_range(row.width)
    if shafts is None:
        widths = ", ".join(size_name(each.width).removesuffix(" in") for each in shaft_ranges())
        return f"no shafts are known for Woodruff keys {size_name(row.width)} wide, only for {widths} in ({shaft_ranges()[0].source})"
    if shafts.shaft_from <= diameter <= shafts.shaft_to:
        return None
    return (
        f"Woodruff keys {size_name(row.width)} wide are for shafts from {size_name(shafts.shaft_from)} "
        f"to {size_name(shafts.shaft_to)}, and this is {size_name(diameter)} ({shafts.source})"
    )


def _moved(limits: Limits, nominal: Length | None) -> Limits:
    """The same deviations round another nominal."""
    if nominal is None:
        return limits
    return Limits(
        nominal, nominal + (limits.lower - limits.nominal), nominal + (limits.upper - limits.nominal)
    )
