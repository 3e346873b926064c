"""A milling card in words for the person at the mill: what is left by a reading first, then the depth and the work."""

from __future__ import annotations

from collections.abc import Iterator

from broachplan.keyways.key import size_name
from broachplan.keyways.milling_card import After, Card, CutterPath, Ends, Over, Spindle, State, WoodruffSetup
from broachplan.lengths import Units, show
from broachplan.sheets.joint import joint_sheet, key_in_words, own_units
from broachplan.sheets.result import (
    Column,
    NamedValue,
    ResultSheet,
    Sentence,
    SheetBlock,
    SheetGrid,
    some_figures,
)
from broachplan.sheets.sizes import gauge_units, move, number, reading, size, unit_word, within
from broachplan.shown import AtLeast, AtMost, limits_in_words, show_apart

_PASSES = (
    Column("pass"),
    Column("take", sized=True),
    Column("depth", sized=True),
    Column("floor reads", "floor", sized=True),
)
_RUNS = (
    Column("key with", "ends"),
    Column("start", sized=True),
    Column("end", sized=True),
    Column("seat over all", "over all", sized=True),
    Column("full width", sized=True, drops=1),
)
_CENTRE = "Centre: touch the shaft's side at its widest with the finder, lift it, then"
_HEIGHT = "Height: touch the top of the shaft with the cutter's lower face, then lower it"
_FEED = "Feed in from a touch on the shaft's side, its crown at the centre's height"


def milling_sheet(card: Card, units: Units | None = None) -> ResultSheet:
    """The card, in the units of its standard if no others are given; what was not asked for is left out."""
    used = gauge_units(units or own_units(card.joint))
    return ResultSheet(
        title=f"Keyseat in a shaft of {size_name(card.shaft.nominal)} for {key_in_words(card.joint)}",
        short=joint_sheet(card.joint).short,
        blocks=tuple(_blocks(card, used)),
        source=card.source,
        from_memory=some_figures(card.status),
        remarks=card.remarks,
    )


def _blocks(card: Card, units: Units) -> Iterator[SheetBlock]:
    if card.after:
        yield _after(card, card.after, units)
    yield _depth(card, units)
    if card.woodruff:
        yield from _woodruff(card, card.woodruff, units)
    elif card.finding:
        moves = (
            move("move half the finder", "1/2 finder", card.finding.half_finder, units),
            move("then half the shaft", "1/2 shaft", card.finding.half_shaft, units),
            move("total", "", card.finding.move, units),
        )
        yield SheetBlock(_CENTRE, moves, "Centre: touch the side, lift, then move")
    if card.passes:
        yield _passes(card, units)
    if card.side_move:
        cutter = show(card.cutter or card.aim, units)
        yield SheetBlock(
            f"Width: {limits_in_words(card.joint.shaft.width, units)} with a cutter of {cutter}",
            (within("off centre to each side", "off centre", card.side_move, units),),
        )
    if card.runs:
        outside = "" if card.from_end else " (below zero: outside it)"
        grid = SheetGrid(_RUNS, tuple(_run(run, units) for run in card.runs), unit_word(units))
        yield SheetBlock(f"Cutter's centre, from the shaft's end{outside}", (grid,))
    if card.spindle:
        yield _spindle(card.spindle, units)
    yield SheetBlock("Measure", tuple(_measure(card, units)))


def _after(card: Card, after: After, units: Units) -> SheetBlock:
    read = f"{show(after.measured.size, units)} over the {after.measured.over}"
    lines: list[NamedValue | Sentence] = []
    if after.state is State.SHORT:
        heading = f"STILL TO TAKE OFF: {show(after.to_aim, units)}"
        least, most = show_apart(units, AtLeast(after.least), AtMost(after.most))
        lines = [NamedValue("read", read), NamedValue("at least", least), NamedValue("at most", most)]
    elif after.state is State.WITHIN:
        heading = f"DONE: {read} is within the limits; nothing to take off."
        if after.key_on_size:
            lines = [Sentence(f"That is for a key {show(card.key_height, units)} high: measure the key.")]
    elif after.state is State.UNSURE:
        heading = f"CANNOT TELL: {read}, and the key's height is not known."
        lines = [Sentence("Measure the key and give its height, or measure over the floor.")]
    else:
        (deep,) = show_apart(units, -after.most)
        heading = f"PAST: {read} is {deep} too deep; no cut can bring it back."
    if after.measured.over is Over.KEY:
        lines.append(size("floor to opposite side", "floor", after.floor, units))
    return SheetBlock(heading, tuple(lines))


def _depth(card: Card, units: Units) -> SheetBlock:
    """The depth that the dial shows, and what a micrometer reads with the key in its seat."""
    name, short = ("feed from the crown", "feed") if card.woodruff else ("depth from top of arc", "depth")
    lines = (
        reading(name, short, card.depth, units),
        NamedValue("aim", show(card.aim, units)),
        reading("over shaft and key", "over key", card.over_key, units),
        NamedValue("height of the key", show(card.key_height, units), "key height"),
    )
    return SheetBlock("Depth" + (", by your limits" if card.own_limits else ""), lines)


def _woodruff(card: Card, setup: WoodruffSetup, units: Units) -> Iterator[SheetBlock]:
    cutter = setup.cutter
    limits = cutter.diameter_limits
    diameter = f"{show(setup.diameter, units)}{f' ({limits_in_words(limits, units)})' if limits else ''}"
    yield SheetBlock(
        f"Cutter {cutter.number or size_name(cutter.width.nominal)}",
        (within("width", "", cutter.width, units), NamedValue("diameter", diameter)),
        status=cutter.status,
    )
    moves = (
        move("half the cutter's width", "1/2 cutter", setup.half_cutter, units),
        move("and half the shaft", "1/2 shaft", setup.half_shaft, units),
        move("total", "", setup.height, units),
    )
    yield SheetBlock(_HEIGHT, moves, "Height: touch the top, then lower")
    yield SheetBlock("Along the shaft", tuple(_along(setup, units)))
    datums = (
        reading("crown datum", "crown", card.depth, units)._replace(limits=""),
        size("edge datum", "", setup.at_edge, units),
        size("height of arc", "arc", card.joint.arc, units),
    )
    yield SheetBlock(_FEED, datums, "Feed in: touch the side with the crown")


def _along(setup: WoodruffSetup, units: Units) -> Iterator[NamedValue]:
    if setup.place and setup.from_rim:
        yield move("end to middle of key", "to middle", setup.place, units)
        yield move("from the rim on the end", "off rim", setup.from_rim, units)
    if setup.from_finder:
        yield move("from the finder's touch", "off finder", setup.from_finder, units)
    yield NamedValue("seat at its edges", f"{show(setup.seat_length, units)} long", "seat")


def _passes(card: Card, units: Units) -> SheetBlock:
    rows = tuple(
        (str(each.number), *(number(length, units) for length in (each.cut, each.depth, each.floor)))
        for each in card.passes
    )
    grid = SheetGrid(_PASSES, rows, unit_word(units))
    if card.after:
        return SheetBlock(f"Passes left: {len(rows)}", (grid,))
    touch, short = ("the shaft's side", "side") if card.woodruff else ("the top of the arc", "top")
    return SheetBlock(
        f"Passes: {len(rows)}; touch off {touch} and set zero",
        (grid,),
        f"Passes: {len(rows)}; touch the {short}, set zero",
    )


def _run(run: CutterPath, units: Units) -> tuple[str, ...]:
    name = "round ends" if run.ends is Ends.ROUND else "square ends"
    return name, *(number(length, units) for length in (run.start, run.end, run.over_all, run.full_width))


def _spindle(spindle: Spindle, units: Units) -> SheetBlock:
    from broachplan.quantities import show_speed

    turns = f"{spindle.rpm:,.0f}" if spindle.rpm >= 10 else f"{spindle.rpm:.2f}"
    cutter = show(spindle.cutter, units)
    speed = f"{show_speed(spindle.speed, units)} / (pi x {cutter}); the cutting speed is yours"
    return SheetBlock(f"Spindle: {turns} rev/min", (Sentence(speed),))


def _measure(card: Card, units: Units) -> Iterator[NamedValue]:
    yield reading("floor to opposite side", "floor", card.floor, units)
    if card.over_key_stock and card.stock:
        any_key = f"{limits_in_words(card.over_key_stock, units)} ({card.stock})"
        yield NamedValue("over key, any in limits", any_key, "any key")
        if card.woodruff:
            yield NamedValue(
                "over the tallest key", show_apart(units, AtMost(card.over_key_stock.upper))[0], "tallest"
            )
    yield within("keyseat width", "width", card.joint.shaft.width, units)
