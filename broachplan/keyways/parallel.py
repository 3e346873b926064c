"""Keyways in shaft and hub: by a published standard, or by their own width and reading.

The drawing's figures use the nominal bore and the nominal key. Sources: ASME B17.1, ASME B17.2, ISO 773 / DIN 6885-1,
ISO 3912, ISO 286.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from broachplan.errors import InputError
from broachplan.keyways.clearance import clearance, over_key
from broachplan.keyways.inch import NEAR_BOUNDARY, inch_figures
from broachplan.keyways.joint import (
    GIVEN,
    MEMORY,
    READ,
    Clearance,
    Joint,
    Part,
    Position,
    Seat,
    StandardFigure,
    StandardFigures,
    Stepped,
    from_memory,
)
from broachplan.keyways.key import KeySize, size_name
from broachplan.keyways.keyway import Keyway, arc_height
from broachplan.keyways.metric import depth_at_wall, metric_figures
from broachplan.keyways.stepped import STEP_REMARK, stepped_key
from broachplan.lengths import Length, Limits, WrittenLimits, write_exact
from broachplan.standards.inch_keys import inch_key_by_width
from broachplan.standards.keyseat_position import lead_row, position_rows
from broachplan.standards.metric_keys import metric_key_by_width
from broachplan.standards.named import Fit, Shape, Standard

_GIVEN_SOURCE = "given by the user"


def joint(
    diameter: Length,
    *,
    standard: Standard,
    key: KeySize | None = None,
    shape: Shape | None = None,
    fit: Fit | None = None,
    top_clearance: bool = True,
    hub_key: KeySize | None = None,
    length: Length | None = None,
) -> Joint:
    """Shaft, key and hub of a nominal diameter by the standard.

    ``hub_key`` is the hub's where it is another than the shaft's: the key between them is then stepped, if it is
    another. ``length`` is the keyseat's, for the most it may lean.

    Raises
    ------
    InputError : the standard has no such key, shape or fit, the key does not go into the diameter, no step can be
        made between the two keys, or a length that the keyseat cannot have.
    """
    figures = _figures(diameter, standard, key, shape, fit, top_clearance)
    hub_figures = _figures(diameter, standard, hub_key, shape, fit, top_clearance) if hub_key else figures
    if length and figures.cutter:
        raise InputError(
            "length", "a Woodruff keyseat is as long as its cutter makes it; leave the length out"
        )
    shaft, hub, used = _seats(figures, hub_figures)
    stepped, clearances = _whole_fit(figures, hub_figures, shaft, hub)
    height = stepped.height if stepped else clearances[0].stock.height
    return Joint(
        standard=figures.standard,
        diameter=diameter,
        key=figures.key,
        fit=figures.fit,
        arc=figures.arc,
        shaft=shaft,
        hub=hub,
        over_key=hub_figures.over_key,
        over_key_limits=over_key(hub_figures.over_key, shaft, height),
        clearances=clearances,
        corners=figures.corners,
        position=_position(figures.standard, length),
        cutter=figures.cutter,
        stepped=stepped,
        source=figures.source,
        status=MEMORY if any(figure.status == MEMORY for figure in used) else READ,
        remarks=_remarks(figures, hub_figures, used, stepped),
    )


def _seats(figures: StandardFigures, hub_figures: StandardFigures) -> tuple[Seat, Seat, list[StandardFigure]]:
    """The keyways of shaft and hub, and the figures they rest on."""
    shaft_reading, hub_reading = figures.shaft_reading(), hub_figures.hub_reading()
    shaft_width, hub_width = figures.width(Part.SHAFT), hub_figures.width(Part.HUB)
    wall = hub_figures.depth_at_wall
    return (
        Seat(shaft_reading.limits, shaft_width.limits, figures.depth_from_top, figures.depth_at_edge),
        Seat(hub_reading.limits, hub_width.limits, wall, wall),
        [shaft_width, shaft_reading, hub_width, hub_reading],
    )


def _whole_fit(
    figures: StandardFigures, hub_figures: StandardFigures, shaft: Seat, hub: Seat
) -> tuple[Stepped | None, tuple[Clearance, ...]]:
    """The fit with every stock; where the hub's key is another, the stepped key of the stock that the fit is meant for."""
    if figures.key == hub_figures.key:
        return None, tuple(clearance(shaft, hub, stock) for stock in figures.stocks)
    stock = figures.stocks[0]
    stepped = stepped_key(figures, hub_figures, shaft, stock, hub_figures.stocks[0])
    whole = stock._replace(height=stepped.height)
    return stepped, (clearance(shaft, hub, whole, stepped.hub_width),)


def _remarks(
    figures: StandardFigures,
    hub_figures: StandardFigures,
    used: list[StandardFigure],
    stepped: Stepped | None,
) -> tuple[str, ...]:
    return (
        *dict.fromkeys(said for each in (figures, hub_figures) if (said := each.off_table)),
        *figures.remarks,
        *figures.shaft_remarks,
        *from_memory(used),
        *((STEP_REMARK,) if stepped and stepped.step else ()),
    )


def _position(standard: Standard, length: Length | None) -> Position | None:
    if standard is not Standard.INCH:
        return None
    (offset,) = position_rows("offset")
    lead = lead_row(length).at(length) if length else None
    return Position(offset.at(Length(0)), length, lead, offset.source, offset.status)


def hub_keyway(
    bore: Limits,
    *,
    standard: Standard,
    key: KeySize | None = None,
    shape: Shape | None = None,
    fit: Fit | None = None,
    top_clearance: bool = True,
    reading: WrittenLimits | None = None,
    width: WrittenLimits | None = None,
    aim: Length | None = None,
) -> Keyway:
    """The keyway of a hub, by the standard or by its own figures.

    ``reading`` and ``width`` given with limits need no standard; given without, they take the standard's
    deviations. The aim is the middle of the reading's limits (half-even to 1 nm) unless set.

    Raises
    ------
    InputError : a figure is missing that no standard gives, the standard has no such key, shape or fit, the keyway
        is wider than the bore or does not pass its wall, or the aim lies outside the reading's limits.
    """
    if reading and width and reading.toleranced and width.toleranced:
        return _own(bore, shape, reading.limits, width.limits, aim)
    if standard is Standard.OWN:
        raise InputError(
            "keyway", "without a standard, give the keyway width and the reading, both with limits"
        )
    figures = _figures(
        bore.nominal, standard, key or _implied(standard, width, reading), shape, fit, top_clearance
    )
    by_itself = key is None and width is not None and reading is not None
    return _by_standard(bore, figures, width, reading, aim, by_itself)


def middle(limits: Limits) -> Length:
    """The middle of the limits, half-even to 1 nm."""
    return Length(round(Fraction(limits.lower.nm + limits.upper.nm, 2)))


def _figures(
    diameter: Length,
    standard: Standard,
    key: KeySize | None,
    shape: Shape | None,
    fit: Fit | None,
    top_clearance: bool,
) -> StandardFigures:
    if standard is Standard.METRIC:
        return metric_figures(diameter, key, shape, fit, top_clearance)
    if not top_clearance:
        raise InputError("no top clearance", "only the metric standard has such keyways")
    if standard is Standard.WOODRUFF:
        # Loaded only for such a key: the tables cost a short command more than the rest of its arithmetic.
        from broachplan.keyways.woodruff_inch import woodruff_inch_figures

        return woodruff_inch_figures(diameter, key, shape, fit)
    if standard is Standard.WOODRUFF_METRIC:
        from broachplan.keyways.woodruff_metric import woodruff_metric_figures

        return woodruff_metric_figures(diameter, key, shape, fit)
    return inch_figures(diameter, key, shape, fit)


def _implied(
    standard: Standard, width: WrittenLimits | None, reading: WrittenLimits | None
) -> KeySize | None:
    """The key that a keyway's width speaks of when no key is named; None: the table's for the bore."""
    if width is None or standard not in (Standard.INCH, Standard.METRIC):
        return None
    nominal = width.limits.nominal
    in_table = inch_key_by_width if standard is Standard.INCH else metric_key_by_width
    if in_table(nominal) or (standard is Standard.INCH and reading):
        return KeySize(nominal, None)
    return None


def _limits(
    written: WrittenLimits | None, ask: Callable[[Length | None], StandardFigure]
) -> tuple[Limits, StandardFigure | None]:
    """The limits as given, else by the standard round what was given; with the standard's figure if one was used."""
    if written and written.toleranced:
        return written.limits, None
    figure = ask(written.limits.nominal if written else None)
    return figure.limits, figure


def _by_standard(
    bore: Limits,
    figures: StandardFigures,
    width: WrittenLimits | None,
    reading: WrittenLimits | None,
    aim: Length | None,
    by_itself: bool,
) -> Keyway:
    """The standard's keyway, except for what was given; ``by_itself``: no key was named and none is meant."""
    width_limits, width_figure = _limits(width, lambda nominal: figures.width(Part.HUB, nominal))
    reading_limits, reading_figure = _limits(reading, figures.hub_reading)
    chord = width_limits.nominal if by_itself else figures.chord
    used = [figure for figure in (width_figure, reading_figure) if figure]
    keyway = Keyway(
        standard=figures.standard,
        shape=figures.key.shape,
        width=width_limits,
        reading=reading_limits,
        aim=aim or middle(reading_limits),
        arc=arc_height(bore.nominal, chord),
        depth_at_wall=depth_at_wall(bore.nominal, chord, reading_limits.nominal)
        if reading
        else figures.depth_at_wall,
        source=_source(figures.source, width, reading),
        status=_status(used, bool(width or reading)),
        remarks=(*figures.remarks, *from_memory(used)),
        off_table=None if by_itself else _off_table(figures, width, reading),
    )
    return _checked(keyway, bore, chord)


def _own(bore: Limits, shape: Shape | None, reading: Limits, width: Limits, aim: Length | None) -> Keyway:
    keyway = Keyway(
        standard=Standard.OWN,
        shape=shape,
        width=width,
        reading=reading,
        aim=aim or middle(reading),
        arc=arc_height(bore.nominal, width.nominal),
        depth_at_wall=depth_at_wall(bore.nominal, width.nominal, reading.nominal),
        source=_GIVEN_SOURCE,
        status=GIVEN,
    )
    return _checked(keyway, bore, width.nominal)


def _checked(keyway: Keyway, bore: Limits, chord: Length) -> Keyway:
    if keyway.width.lower.nm <= 0:
        raise InputError(
            f"keyway width {size_name(keyway.width.nominal)}", "its lower limit must be above zero"
        )
    if keyway.width.upper >= bore.lower:
        raise InputError(
            f"keyway width up to {write_exact(keyway.width.upper)}",
            f"it must be less than the bore, {write_exact(bore.lower)}",
        )
    wall = bore.nominal - arc_height(bore.nominal, chord)
    if keyway.reading.lower <= wall:
        raise InputError(
            f"reading from {write_exact(keyway.reading.lower)}",
            f"it must be more than {write_exact(wall)}, where the keyway's sides meet the bore",
        )
    return keyway


def _source(source: str, width: WrittenLimits | None, reading: WrittenLimits | None) -> str:
    given = [
        f"{what} {_GIVEN_SOURCE}"
        for what, written in (("keyway width", width), ("reading", reading))
        if written
    ]
    return "; ".join((source, *given))


def _status(used: list[StandardFigure], given: bool) -> str:
    if any(figure.status == MEMORY for figure in used):
        return MEMORY
    return GIVEN if given else READ


def _off_table(
    figures: StandardFigures, width: WrittenLimits | None, reading: WrittenLimits | None
) -> str | None:
    said = [figures.off_table] if figures.off_table else []
    if width and not reading and abs(width.limits.nominal - figures.key.width) > NEAR_BOUNDARY:
        said.append(
            f"keyway width {size_name(width.limits.nominal)} with the key {figures.key.name}: the reading is for that key"
        )
    return "; ".join(said) or None
