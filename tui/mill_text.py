"""A milling card in the words of the trade, for the joint's screen: the main figures first, then the work."""

from __future__ import annotations

from rich.text import Text

from broachplan.keyways.key import size_name
from broachplan.keyways.milling_card import After, Card, Ends, Over, State, WoodruffSetup
from broachplan.lengths import Units
from broachplan.shown import AtLeast, AtMost, show_apart
from tui.sheet import MEMORY, Sheet
from tui.words import figure

_CELL = 9


def mill_text(card: Card, units: Units) -> Text:
    """The card; what was not asked for is left out."""
    sheet = Sheet(units)
    if card.status == MEMORY:
        sheet.say("SOME FIGURES FROM MEMORY: see below", "reverse")
    if card.after:
        _after(sheet, card, card.after)
    _depth(sheet, card)
    if card.woodruff:
        _woodruff(sheet, card, card.woodruff)
    else:
        _centre(sheet, card)
    _passes(sheet, card)
    _runs(sheet, card)
    _spindle(sheet, card)
    _measure(sheet, card)
    sheet.head("SOURCE")
    sheet.say(f" {card.source} ({'some figures from memory' if card.status == MEMORY else card.status})")
    for remark in card.remarks:
        sheet.say(f"- {remark}")
    return sheet.done()


def _after(sheet: Sheet, card: Card, after: After) -> None:
    reads = f"{sheet.size(after.measured.size)} over the {after.measured.over}"
    if after.state is State.SHORT:
        sheet.head(f"STILL TO TAKE OFF: {sheet.size(after.to_aim)}")
        sheet.row("read", reads)
        least, most = show_apart(sheet.units, AtLeast(after.least), AtMost(after.most))
        sheet.row("at least", least)
        sheet.row("at most", most)
    elif after.state is State.WITHIN:
        sheet.head("DONE: within the limits, nothing to take off")
        sheet.row("read", reads)
        if after.key_on_size:
            sheet.say(f" for a key {sheet.size(card.key_height)} high: measure it")
    elif after.state is State.UNSURE:
        sheet.head("CANNOT TELL: measure the key")
        sheet.row("read", reads)
        sheet.say(" Type the key's height, or measure over the floor.")
    else:
        (deep,) = show_apart(sheet.units, -after.most)
        sheet.head(f"PAST: {deep} too deep")
        sheet.row("read", f"{reads}; no cut can bring it back")
    if after.measured.over is Over.KEY:
        sheet.row("floor", sheet.size(after.floor))


def _depth(sheet: Sheet, card: Card) -> None:
    whose = ", your limits" if card.own_limits else ""
    sheet.head(("FEED  from the crown" if card.woodruff else "DEPTH  from top of arc") + whose)
    sheet.row("in all", sheet.with_limits(card.depth))
    sheet.row("aim", sheet.size(card.aim))
    sheet.row("over key", sheet.with_limits(card.over_key))
    sheet.row("floor", sheet.with_limits(card.floor))


def _centre(sheet: Sheet, card: Card) -> None:
    found = card.finding
    if found is None:
        return
    sheet.head("CENTRE  touch the side, lift, then move")
    sheet.row("1/2 finder", sheet.exact(found.half_finder))
    sheet.row("1/2 shaft", sheet.exact(found.half_shaft))
    sheet.row("in all", sheet.exact(found.move))


def _woodruff(sheet: Sheet, card: Card, setup: WoodruffSetup) -> None:
    sheet.row("edge datum", f"{sheet.size(setup.at_edge)}; crown {figure(card.joint.arc, sheet.units)} out")
    sheet.head(f"CUTTER {setup.cutter.number or size_name(setup.cutter.width.nominal)}", setup.cutter.status)
    sheet.row("width", sheet.between(setup.cutter.width))
    sheet.row("diameter", sheet.size(setup.diameter))
    if setup.cutter.diameter_limits:
        sheet.row("", sheet.between(setup.cutter.diameter_limits))
    sheet.head("HEIGHT  touch the top, then lower")
    sheet.row("1/2 cutter", sheet.exact(setup.half_cutter))
    sheet.row("1/2 shaft", sheet.exact(setup.half_shaft))
    sheet.row("in all", sheet.exact(setup.height))
    sheet.head("ALONG THE SHAFT")
    if setup.place and setup.from_rim:
        sheet.row("to middle", f"{sheet.exact(setup.place)} from the end")
        sheet.row("off rim", f"{sheet.exact(setup.from_rim)}, rim on the end")
    if setup.from_finder:
        sheet.row("off finder", sheet.exact(setup.from_finder))
    sheet.row("seat", f"{sheet.size(setup.seat_length)} long at its edges")


def _passes(sheet: Sheet, card: Card) -> None:
    if not card.passes:
        return
    touch = "the side" if card.woodruff else "the top"
    sheet.head(
        f"PASSES LEFT: {len(card.passes)}"
        if card.after
        else f"PASSES: {len(card.passes)}  touch {touch}, set zero"
    )
    sheet.say(f"{'pass':>5}{'take':>{_CELL}}{'depth':>{_CELL}}{'floor':>{_CELL}}", "underline")
    for each in card.passes:
        cells = (figure(length, sheet.units) for length in (each.cut, each.depth, each.floor))
        sheet.say(f"{each.number:>5}" + "".join(f"{cell:>{_CELL}}" for cell in cells))


def _runs(sheet: Sheet, card: Card) -> None:
    if card.side_move:
        sheet.head(f"WIDTH  cutter of {sheet.size(card.cutter or card.aim)}")
        sheet.row("each side", f"{sheet.between(card.side_move)} off centre")
    if not card.runs:
        return
    sheet.head("CUTTER'S CENTRE  from the shaft's end")
    if card.from_end is None:
        sheet.say(" below zero: outside the shaft")
    sheet.say(f"{' key ends':10}{'start':>{_CELL - 1}}{'end':>{_CELL - 1}}{'over all':>{_CELL}}", "underline")
    for run in card.runs:
        name = " round" if run.ends is Ends.ROUND else " square"
        start, end, over_all = (figure(length, sheet.units) for length in (run.start, run.end, run.over_all))
        sheet.say(f"{name:10}{start:>{_CELL - 1}}{end:>{_CELL - 1}}{over_all:>{_CELL}}")


def _spindle(sheet: Sheet, card: Card) -> None:
    if card.spindle is None:
        return
    from broachplan.quantities import show_speed

    rpm = card.spindle.rpm
    sheet.head(f"SPINDLE  {f'{rpm:,.0f}' if rpm >= 10 else f'{rpm:.2f}'} rev/min")
    sheet.row("rim", f"{show_speed(card.spindle.speed, sheet.units)}, the speed is yours")


def _measure(sheet: Sheet, card: Card) -> None:
    sheet.head("MEASURE")
    if card.over_key_stock and card.stock:
        sheet.row("any key", sheet.between(card.over_key_stock))
        sheet.row("", f"of {card.stock}")
        if card.woodruff:
            sheet.row("tallest", sheet.size(card.over_key_stock.upper))
    sheet.row("key", f"{sheet.size(card.key_height)} high")
    sheet.row("width", sheet.between(card.joint.shaft.width))
