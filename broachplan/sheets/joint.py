"""Shaft, key and hub in words: what to measure first, then the keys, the cutter and how true the keyseat must be."""

from __future__ import annotations

from collections.abc import Iterator

from broachplan.keyways.joint import Clearance, Cutter, Joint, Position, Stepped
from broachplan.keyways.key import size_name
from broachplan.lengths import Length, Limits, Units, show
from broachplan.sheets.result import NamedValue, ResultSheet, SheetBlock, some_figures
from broachplan.sheets.sizes import gauge_units, reading, size, within
from broachplan.shown import limits_in_words, span_in_words
from broachplan.standards.corners import Corners
from broachplan.standards.keyseat_position import PositionRow, position_rows


def joint_sheet(joint: Joint, units: Units | None = None) -> ResultSheet:
    """Shaft, key and hub, in the units of their standard if no others are given."""
    used = gauge_units(units or own_units(joint))
    return ResultSheet(
        title=f"Shaft {size_name(joint.diameter)}: {key_in_words(joint)}",
        short=_key_in_short(joint),
        blocks=tuple(_blocks(joint, used)),
        source=joint.source,
        from_memory=some_figures(joint.status),
        remarks=joint.remarks,
    )


def own_units(joint: Joint) -> Units:
    """The units of the standard."""
    return Units.INCH if joint.standard.inches else Units.MM


def key_in_words(joint: Joint) -> str:
    """Which key, and how it fits."""
    key = joint.key
    fit = f", {joint.fit.words}" if joint.fit else ""
    if joint.stepped:
        return f"key {key.name} in the shaft and {joint.stepped.hub_key.name} in the hub{fit}"
    return f"Woodruff key {key.name}{fit}" if key.diameter else f"key {key.name}, {key.shape}{fit}"


def _key_in_short(joint: Joint) -> str:
    if joint.stepped is None:
        return key_in_words(joint)
    fit = f", {joint.fit.words}" if joint.fit else ""
    return f"stepped: shaft {joint.key.name}, hub {joint.stepped.hub_key.name}{fit}"


def _blocks(joint: Joint, units: Units) -> Iterator[SheetBlock]:
    shaft, hub, over = joint.shaft, joint.hub, joint.over_key_limits
    yield SheetBlock(
        "Shaft",
        (
            reading("floor to opposite side", "S", shaft.reading, units),
            size("top of arc to floor", "from top", shaft.depth, units),
            size("depth at side wall", "at wall", shaft.at_edge, units),
            within("keyseat width", "width", shaft.width, units),
        ),
        "Shaft  S: keyseat floor to opposite side",
    )
    yield SheetBlock(
        "Hub",
        (
            reading("floor to opposite wall", "T", hub.reading, units),
            size("depth at side wall", "at wall", hub.depth, units),
            within("keyway width", "width", hub.width, units),
        ),
        "Hub    T: keyway floor to opposite wall",
    )
    yield SheetBlock(
        "Shaft with its key",
        (
            reading("over shaft and key", "over key", Limits(joint.over_key, over.lower, over.upper), units),
            size("height of arc", "arc", joint.arc, units),
        ),
    )
    for fit in joint.clearances:
        yield SheetBlock(f"Key: {fit.stock.name}", tuple(_key(joint, fit, units)), status=fit.stock.status)
    if joint.cutter:
        yield _cutter(joint.cutter, units)
    if joint.corners:
        yield SheetBlock("Corners", tuple(_corners(joint.corners, units)), status=joint.corners.status)
    if joint.position:
        lines = tuple(_position(joint.position, units))
        yield SheetBlock("Position, at most", lines, status=joint.position.status)


def _key(joint: Joint, fit: Clearance, units: Units) -> Iterator[NamedValue]:
    if joint.stepped:
        yield from _stepped(joint.stepped, units)
    else:
        yield within("width", "", fit.stock.width, units)
        yield within("height", "", fit.stock.height, units)
    if (fit.shaft_side.lower, fit.shaft_side.upper) == (fit.hub_side.lower, fit.hub_side.upper):
        yield _clearance("side clearance", "at sides", fit.shaft_side, units)
    else:
        yield _clearance("side clearance, shaft", "shaft side", fit.shaft_side, units)
        yield _clearance("side clearance, hub", "hub side", fit.hub_side, units)
    yield _clearance("top clearance", "on top", fit.top, units)


def _stepped(stepped: Stepped, units: Units) -> Iterator[NamedValue]:
    yield within("width in shaft", "in shaft", stepped.shaft_width, units)
    yield within("width in hub", "in hub", stepped.hub_width, units)
    yield within("whole height", "height", stepped.height, units)
    if stepped.step:
        yield within("bottom to step", "to step", stepped.in_shaft, units)
        yield NamedValue("step at each side", show(stepped.step, units), "each side")


def _clearance(label: str, short: str, limits: Limits, units: Units) -> NamedValue:
    tight = " (below zero: tight)" if limits.lower < Length(0) else ""
    return NamedValue(label, limits_in_words(limits, units) + tight, short)


def _cutter(cutter: Cutter, units: Units) -> SheetBlock:
    limits = cutter.diameter_limits
    diameter = limits_in_words(limits, units) if limits else show(cutter.diameter, units)
    lines = (within("width", "", cutter.width, units), NamedValue("diameter", diameter))
    return SheetBlock(f"Cutter {cutter.number or ''}".rstrip(), lines, status=cutter.status)


def _corners(corners: Corners, units: Units) -> Iterator[NamedValue]:
    yield NamedValue("fillet radius", span_in_words(*corners.radius, units), "fillet")
    if corners.chamfer:
        chamfer = span_in_words(*corners.chamfer, units)
        yield NamedValue("key chamfer", f"{chamfer}, 45 degrees", "chamfer")


def _position(position: Position, units: Units) -> Iterator[NamedValue]:
    yield NamedValue("off centre", f"{show(position.offset, units)}, shaft and hub each")
    if position.lead and position.length:
        yield NamedValue("lean", f"{show(position.lead, units)} over {size_name(position.length)}")
        return
    for number, row in enumerate(position_rows("lead")):
        yield NamedValue("" if number else "lean", _lead(row, units))


def _lead(row: PositionRow, units: Units) -> str:
    most = show(row.most, units) if row.most else f"{show(row.most_per_inch or Length(0), units)} an inch"
    return f"{most}, {f'to {size_name(row.to)}' if row.to else f'over {size_name(row.over)}'} long"
