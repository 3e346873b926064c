"""A joint for people: 80 columns, in the standard's own unit with the other beside the main readings."""

from __future__ import annotations

from collections.abc import Iterator

from broachplan.cli.layout import wrap
from broachplan.keyways.joint import MEMORY, Clearance, Cutter, Joint, Position, Stepped
from broachplan.keyways.key import size_name
from broachplan.lengths import Length, Limits, Units, show
from broachplan.shown import limits_in_words, nominal_in_words, span_in_words
from broachplan.standards.corners import Corners
from broachplan.standards.keyseat_position import PositionRow, position_rows
from broachplan.standards.named import Standard

_INDENT = "  "
_NAME = 24


def in_words(joint: Joint) -> list[str]:
    """The answer, line by line."""
    units = Units.INCH if joint.standard in (Standard.INCH, Standard.WOODRUFF) else Units.MM
    return [
        *wrap(_headline(joint), rest=_INDENT),
        *_key(joint, units),
        "",
        *_parts(joint, units),
        "",
        *_over(joint, units),
        *_corners(joint.corners, units),
        *_position(joint.position, units),
        *_cutter(joint.cutter, units),
        "",
        *wrap(f"Source: {joint.source}{_some(joint.status)}", rest=_INDENT),
        *(line for remark in joint.remarks for line in wrap(f"Note: {remark}", rest=_INDENT)),
    ]


def _headline(joint: Joint) -> str:
    shaft, key = size_name(joint.diameter), joint.key
    if key.diameter:
        fit = f", {joint.fit} fit" if joint.fit else ""
        return f"Shaft {shaft}: Woodruff key {key.name}{fit}"
    fit = f"class {joint.fit}" if joint.standard is Standard.INCH else f"{joint.fit} fit"
    if joint.stepped:
        return (
            f"Shaft {shaft}: key {key.name} in the shaft and {joint.stepped.hub_key.name} in the hub, {fit}"
        )
    return f"Shaft {shaft}: key {key.name}, {key.shape}, {fit}"


def _key(joint: Joint, units: Units) -> Iterator[str]:
    for fit in joint.clearances:
        yield ""
        yield f"Key: {fit.stock.name}{_one(fit.stock.status)}"
        if joint.stepped:
            yield from _stepped(joint.stepped, units)
        else:
            yield _row("width", limits_in_words(fit.stock.width, units))
            yield _row("height", limits_in_words(fit.stock.height, units))
        yield from _free(fit, units)


def _stepped(stepped: Stepped, units: Units) -> Iterator[str]:
    yield _row("width in shaft", limits_in_words(stepped.shaft_width, units))
    yield _row("width in hub", limits_in_words(stepped.hub_width, units))
    yield _row("whole height", limits_in_words(stepped.height, units))
    if stepped.step:
        yield _row("bottom to step", limits_in_words(stepped.in_shaft, units))
        yield _row("step at each side", show(stepped.step, units))


def _free(fit: Clearance, units: Units) -> Iterator[str]:
    if _ends(fit.shaft_side) == _ends(fit.hub_side):
        yield _row("side clearance", _clear(fit.shaft_side, units))
    else:
        yield _row("side clearance, shaft", _clear(fit.shaft_side, units))
        yield _row("side clearance, hub", _clear(fit.hub_side, units))
    yield _row("top clearance", _clear(fit.top, units))


def _parts(joint: Joint, units: Units) -> Iterator[str]:
    yield "Shaft"
    yield _row("floor to opposite side", _nominal(joint.shaft.reading, units))
    yield _row("limits", limits_in_words(joint.shaft.reading, units))
    yield _row("top of arc to floor", _both(joint.shaft.depth, units))
    yield _row("depth at side wall", _both(joint.shaft.at_edge, units))
    yield _row("keyseat width", limits_in_words(joint.shaft.width, units))
    yield ""
    yield "Hub"
    yield _row("floor to opposite wall", _nominal(joint.hub.reading, units))
    yield _row("limits", limits_in_words(joint.hub.reading, units))
    yield _row("depth at side wall", _both(joint.hub.depth, units))
    yield _row("keyway width", limits_in_words(joint.hub.width, units))


def _over(joint: Joint, units: Units) -> Iterator[str]:
    yield _row("height of arc", _both(joint.arc, units))
    yield _row("over shaft and key", _nominal(_over_key(joint), units))
    yield _row("limits", limits_in_words(joint.over_key_limits, units))


def _over_key(joint: Joint) -> Limits:
    limits = joint.over_key_limits
    return Limits(joint.over_key, limits.lower, limits.upper)


def _corners(corners: Corners | None, units: Units) -> Iterator[str]:
    if corners is None:
        return
    yield _row("fillet radius", span_in_words(*corners.radius, units) + _one(corners.status))
    if corners.chamfer:
        yield _row("key chamfer, 45 degrees", span_in_words(*corners.chamfer, units) + _one(corners.status))


def _position(position: Position | None, units: Units) -> Iterator[str]:
    if position is None:
        return
    yield _row("off centre, at most", f"{show(position.offset, units)}, shaft and hub each")
    if position.lead and position.length:
        lead = f"{show(position.lead, units)} over {size_name(position.length)}"
        yield _row("lean, at most", lead)
        return
    for number, row in enumerate(position_rows("lead")):
        yield _row("" if number else "lean, at most", _lead(row, units))


def _lead(row: PositionRow, units: Units) -> str:
    most = show(row.most, units) if row.most else f"{show(row.most_per_inch or Length(0), units)} an inch"
    return f"{most}, {f'to {size_name(row.to)}' if row.to else f'over {size_name(row.over)}'} long"


def _cutter(cutter: Cutter | None, units: Units) -> Iterator[str]:
    if cutter is None:
        return
    yield ""
    yield "Cutter" + (f" {cutter.number}" if cutter.number else "")
    yield _row("width", limits_in_words(cutter.width, units) + _one(cutter.status))
    limits = cutter.diameter_limits
    diameter = limits_in_words(limits, units) if limits else show(cutter.diameter, units)
    yield _row("diameter", diameter + _one(cutter.status))


def _nominal(limits: Limits, units: Units) -> str:
    other = Units.MM if units is Units.INCH else Units.INCH
    return f"{nominal_in_words(limits, units)} ({nominal_in_words(limits, other)})"


def _both(length: Length, units: Units) -> str:
    other = Units.MM if units is Units.INCH else Units.INCH
    return f"{show(length, units)} ({show(length, other)})"


def _ends(limits: Limits) -> tuple[Length, Length]:
    return limits.lower, limits.upper


def _clear(limits: Limits, units: Units) -> str:
    return limits_in_words(limits, units) + (" (below zero: tight)" if limits.lower < Length(0) else "")


def _row(name: str, value: str) -> str:
    return f"{_INDENT}{name:{_NAME}}{value}"


def _some(status: str) -> str:
    return "; some figures from memory" if status == MEMORY else ""


def _one(status: str) -> str:
    return " (from memory)" if status == MEMORY else ""
