"""A milling card for the person at the mill: the main figures first, then the work step by step, in 80 columns."""

from __future__ import annotations

from collections.abc import Iterator

from broachplan.cli.layout import wrap
from broachplan.keyways.joint import MEMORY
from broachplan.keyways.key import size_name
from broachplan.keyways.milling_card import After, Card, Ends, Over, Run, State, WoodruffSetup
from broachplan.lengths import NM_PER_INCH, NM_PER_MM, Length, Limits, Units, show
from broachplan.shown import AtLeast, AtMost, limits_in_words, nominal_in_words, show_apart
from broachplan.standards.named import Standard

_INDENT = "  "
_NAME = 26


def in_words(card: Card) -> list[str]:
    """The card, line by line; what was not asked for is left out."""
    units = Units.INCH if card.joint.standard in (Standard.INCH, Standard.WOODRUFF) else Units.MM
    status = "; some figures from memory" if card.status == MEMORY else ""
    return [
        *wrap(_headline(card), rest=_INDENT),
        *_main(card, units),
        *(_after(card, card.after, units) if card.after else ()),
        *(_woodruff(card, card.woodruff, units) if card.woodruff else _centre(card, units)),
        *_passes(card, units),
        *_runs(card, units),
        *_spindle(card, units),
        *_measure(card, units),
        "",
        *wrap(f"Source: {card.source}{status}", rest=_INDENT),
        *(line for remark in card.remarks for line in wrap(f"Note: {remark}", rest=_INDENT)),
    ]


def _headline(card: Card) -> str:
    key, fit = card.joint.key, card.joint.fit
    named = f"Woodruff key {key.name}" if card.woodruff else f"key {key.name}, {key.shape}"
    classed = f", class {fit}" if card.joint.standard is Standard.INCH else f", {fit} fit" if fit else ""
    return f"Keyseat in a shaft of {size_name(card.shaft.nominal)} for {named}{classed}"


def _main(card: Card, units: Units) -> Iterator[str]:
    limits = "your limits" if card.own_limits else "limits"
    name = "feed from the crown" if card.woodruff else "depth from top of arc"
    yield ""
    yield _row(name, _nominal(card.depth, units))
    yield _row(limits, f"{limits_in_words(card.depth, units)}, aim {show(card.aim, units)}")
    yield _row("over shaft and key", _nominal(card.over_key, units))
    yield _row(limits, f"{limits_in_words(card.over_key, units)}, key {show(card.key_height, units)} high")


def _after(card: Card, after: After, units: Units) -> Iterator[str]:
    yield ""
    reads = f"{show(after.measured.size, units)} over the {after.measured.over}"
    if after.state is State.SHORT:
        yield f"STILL TO TAKE OFF: {show(after.to_aim, units)}"
        yield _row("read", reads)
        least, most = show_apart(units, AtLeast(after.least), AtMost(after.most))
        yield _row("at least", least)
        yield _row("at most", most)
    elif after.state is State.WITHIN:
        yield f"DONE: {reads} is within the limits; nothing to take off."
        if after.key_on_size:
            yield f"{_INDENT}That is for a key {show(card.key_height, units)} high: measure the key."
    elif after.state is State.UNSURE:
        yield f"CANNOT TELL: {reads}, and the key's height is not known."
        yield f"{_INDENT}Measure the key and give its height, or measure over the floor."
    else:
        (deep,) = show_apart(units, -after.most)
        yield f"PAST: {reads} is {deep} too deep; no cut can bring it back."
    if after.measured.over is Over.KEY:
        yield _row("floor to opposite side", _both(after.floor, units))


def _centre(card: Card, units: Units) -> Iterator[str]:
    found = card.finding
    if found is None:
        return
    yield ""
    yield "Centre: touch the shaft's side at its widest with the finder, lift it, then"
    yield _row("move half the finder", _exact(found.half_finder, units))
    yield _row("then half the shaft", _exact(found.half_shaft, units))
    yield _row("in all", _exact(found.move, units))


def _woodruff(card: Card, setup: WoodruffSetup, units: Units) -> Iterator[str]:
    memory = " (from memory)" if setup.cutter.status == MEMORY else ""
    yield ""
    yield f"Cutter {setup.cutter.number or size_name(setup.cutter.width.nominal)}{memory}"
    yield _row("width", limits_in_words(setup.cutter.width, units))
    limits = setup.cutter.diameter_limits
    yield _row(
        "diameter", f"{show(setup.diameter, units)}{f' ({limits_in_words(limits, units)})' if limits else ''}"
    )
    yield ""
    yield "Height: touch the top of the shaft with the cutter's lower face, then lower it"
    yield _row("half the cutter's width", _exact(setup.half_cutter, units))
    yield _row("and half the shaft", _exact(setup.half_shaft, units))
    yield _row("in all", _exact(setup.height, units))
    yield ""
    yield "Along the shaft"
    if setup.place and setup.from_rim:
        yield _row("end to middle of key", _exact(setup.place, units))
        yield _row("from the rim's touch", f"{_exact(setup.from_rim, units)} (end touched with the cutter)")
    if setup.from_finder:
        yield _row("from the finder's touch", _exact(setup.from_finder, units))
    yield _row("seat at its edges", f"{show(setup.seat_length, units)} long")
    yield ""
    yield "Feed in from a touch on the shaft's side, its crown at the centre's height"
    yield _row("crown datum", _nominal(card.depth, units))
    yield _row(
        "edge datum", f"{_both(setup.at_edge, units)}; the crown lies {show(card.joint.arc, units)} out"
    )


def _passes(card: Card, units: Units) -> Iterator[str]:
    if not card.passes:
        return
    yield ""
    touch = "the shaft's side" if card.woodruff else "the top of the arc"
    yield f"Passes left: {len(card.passes)}" if card.after else f"Passes: touch off {touch} and set zero"
    yield f"{_INDENT}{'pass':>4}{'take':>15}{'depth':>15}{'floor reads':>15}"
    for each in card.passes:
        cells = (show(length, units) for length in (each.cut, each.depth, each.floor))
        yield f"{_INDENT}{each.number:>4}" + "".join(f"{cell:>15}" for cell in cells)


def _runs(card: Card, units: Units) -> Iterator[str]:
    if card.side_move:
        yield ""
        yield f"Width: {limits_in_words(card.joint.shaft.width, units)} with a cutter of {show(card.cutter or card.aim, units)}"
        yield _row("off centre to each side", limits_in_words(card.side_move, units))
    if not card.runs:
        return
    yield ""
    yield "Cutter's centre, from the shaft's end" + ("" if card.from_end else " (below zero: outside it)")
    yield f"{_INDENT}{'key with':14}{'start':>13}{'end':>13}{'seat over all':>16}{'full width':>13}"
    for run in card.runs:
        yield _run(run, units)


def _run(run: Run, units: Units) -> str:
    name = "round ends" if run.ends is Ends.ROUND else "square ends"
    start, end, over_all, full = (
        show(length, units) for length in (run.start, run.end, run.over_all, run.full_width)
    )
    return f"{_INDENT}{name:14}{start:>13}{end:>13}{over_all:>16}{full:>13}"


def _spindle(card: Card, units: Units) -> Iterator[str]:
    if card.spindle is None:
        return
    from broachplan.quantities import show_speed

    speed = show_speed(card.spindle.speed, units)
    rpm = card.spindle.rpm
    yield ""
    yield f"Spindle: {f'{rpm:,.0f}' if rpm >= 10 else f'{rpm:.2f}'} rev/min"
    yield f"{_INDENT}{speed} / (pi x {show(card.spindle.cutter, units)}); the cutting speed is yours"


def _measure(card: Card, units: Units) -> Iterator[str]:
    yield ""
    yield "Measure"
    yield _row("floor to opposite side", _nominal(card.floor, units))
    yield _row("limits", limits_in_words(card.floor, units))
    if card.over_key_stock and card.stock:
        yield _row("over key, any in limits", f"{limits_in_words(card.over_key_stock, units)} ({card.stock})")
        if card.woodruff:
            yield _row("over the tallest key", show_apart(units, AtMost(card.over_key_stock.upper))[0])
    yield _row("keyseat width", limits_in_words(card.joint.shaft.width, units))


def _exact(length: Length, units: Units) -> str:
    """A move: with the places it has where it does not come out in tenths of a thou or in micrometres."""
    if units is Units.INCH and length.nm % 2540:
        return f"{length.nm / NM_PER_INCH:.7f}".rstrip("0") + " in"
    if units is Units.MM and length.nm % 1000:
        return f"{length.nm / NM_PER_MM:.6f}".rstrip("0") + " mm"
    return show(length, units)


def _nominal(limits: Limits, units: Units) -> str:
    other = Units.MM if units is Units.INCH else Units.INCH
    return f"{nominal_in_words(limits, units)} ({nominal_in_words(limits, other)})"


def _both(length: Length, units: Units) -> str:
    other = Units.MM if units is Units.INCH else Units.INCH
    return f"{show(length, units)} ({show(length, other)})"


def _row(name: str, value: str) -> str:
    return f"{_INDENT}{name:{_NAME}}{value}"
