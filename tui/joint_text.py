"""A joint in the words of the trade, for the joint's screen."""

from __future__ import annotations

from rich.text import Text

from broachplan.keyways.joint import MEMORY, Clearance, Joint
from broachplan.keyways.key import size_name
from broachplan.lengths import Length, Limits, Units
from broachplan.standards.keyseat_position import PositionRow, position_rows
from broachplan.standards.named import Standard
from tui.sheet import Sheet


def own_units(joint: Joint) -> Units:
    """The units of the joint's standard."""
    return Units.INCH if joint.standard in (Standard.INCH, Standard.WOODRUFF) else Units.MM


def headline(joint: Joint) -> str:
    """Which key in which shaft, and how it fits."""
    key = joint.key
    fit = f", class {joint.fit}" if joint.standard is Standard.INCH else f", {joint.fit} fit"
    if joint.fit is None:
        fit = ""
    if joint.stepped:
        return f"stepped: shaft {key.name}, hub {joint.stepped.hub_key.name}{fit}"
    named = f"Woodruff {key.name}" if key.diameter else f"{key.name} {key.shape}"
    return f"{named}{fit}"


def joint_text(joint: Joint, units: Units) -> Text:
    """Shaft, hub, key and their fit in one view."""
    sheet = Sheet(units)
    if joint.status == MEMORY:
        sheet.say("SOME FIGURES FROM MEMORY: see below", "reverse")
    _parts(sheet, joint)
    for fit in joint.clearances:
        _key(sheet, joint, fit)
    _cutter(sheet, joint)
    _corners(sheet, joint)
    _position(sheet, joint)
    sheet.head("SOURCE")
    sheet.say(f" {joint.source} ({'some figures from memory' if joint.status == MEMORY else joint.status})")
    for remark in joint.remarks:
        sheet.say(f"- {remark}")
    return sheet.done()


def _parts(sheet: Sheet, joint: Joint) -> None:
    shaft, hub = joint.shaft, joint.hub
    sheet.head("SHAFT  S: keyseat floor to opposite side")
    sheet.row("S", sheet.with_limits(shaft.reading))
    sheet.row("width", sheet.between(shaft.width))
    sheet.row("depth", f"{sheet.size(shaft.depth)} from top of arc")
    sheet.row("at edge", sheet.size(shaft.at_edge))
    sheet.head("HUB    T: keyway floor to opposite wall")
    sheet.row("T", sheet.with_limits(hub.reading))
    sheet.row("width", sheet.between(hub.width))
    sheet.row("at wall", sheet.size(hub.depth))
    sheet.head("OVER SHAFT AND KEY")
    over = joint.over_key_limits
    sheet.row("reads", sheet.with_limits(Limits(joint.over_key, over.lower, over.upper)))
    sheet.row("arc", f"{sheet.size(joint.arc)} high")


def _key(sheet: Sheet, joint: Joint, fit: Clearance) -> None:
    sheet.head(f"KEY    {fit.stock.name}", fit.stock.status)
    stepped = joint.stepped
    if stepped is None:
        sheet.row("width", sheet.between(fit.stock.width))
        sheet.row("height", sheet.between(fit.stock.height))
    else:
        sheet.row("in shaft", sheet.between(stepped.shaft_width))
        sheet.row("in hub", sheet.between(stepped.hub_width))
        sheet.row("height", sheet.between(stepped.height))
        if stepped.step:
            sheet.row("to step", sheet.between(stepped.in_shaft))
            sheet.row("step", f"{sheet.size(stepped.step)} at each side")
    if (fit.shaft_side.lower, fit.shaft_side.upper) == (fit.hub_side.lower, fit.hub_side.upper):
        sheet.row("at sides", _clear(sheet, fit.shaft_side))
    else:
        sheet.row("shaft side", _clear(sheet, fit.shaft_side))
        sheet.row("hub side", _clear(sheet, fit.hub_side))
    sheet.row("on top", _clear(sheet, fit.top))


def _clear(sheet: Sheet, limits: Limits) -> str:
    return f"{sheet.between(limits)} {'free' if limits.lower >= Length(0) else '(-: tight)'}"


def _cutter(sheet: Sheet, joint: Joint) -> None:
    cutter = joint.cutter
    if cutter is None:
        return
    sheet.head(f"CUTTER {cutter.number or ''}".rstrip(), cutter.status)
    sheet.row("width", sheet.between(cutter.width))
    limits = cutter.diameter_limits
    sheet.row("diameter", sheet.between(limits) if limits else sheet.size(cutter.diameter))


def _corners(sheet: Sheet, joint: Joint) -> None:
    corners = joint.corners
    if corners is None:
        return
    sheet.head("CORNERS", corners.status)
    sheet.row("fillet", f"{sheet.span(corners.radius)} radius")
    if corners.chamfer:
        sheet.row("chamfer", f"{sheet.span(corners.chamfer)}, 45 degrees")


def _position(sheet: Sheet, joint: Joint) -> None:
    position = joint.position
    if position is None:
        return
    sheet.head("POSITION, at most", position.status)
    sheet.row("off centre", f"{sheet.size(position.offset)}, shaft and hub each")
    if position.lead and position.length:
        sheet.row("lean", f"{sheet.size(position.lead)} over {size_name(position.length)}")
        return
    for number, row in enumerate(position_rows("lead")):
        sheet.row("" if number else "lean", _lead(sheet, row))


def _lead(sheet: Sheet, row: PositionRow) -> str:
    most = sheet.size(row.most) if row.most else f"{sheet.size(row.most_per_inch or Length(0))} an inch"
    return f"{most}, {f'to {size_name(row.to)}' if row.to else f'over {size_name(row.over)}'}"
