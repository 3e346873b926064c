"""How to measure with what is at hand, and all cautions."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial

from broachplan.cut.gauge_ways import Way
from broachplan.errors import InputError
from broachplan.lengths import Length
from broachplan.sheets.safety import work_cautions
from tui.plain import plain
from tui.press.cautions import BOTH_ENDS, CAUTION, GAUGING
from tui.press.gauging import Gauging
from tui.press.question import Later, Measure, PadOutcome, PressQuestion, Say
from tui.press.typed import PadKey, TypedReading
from tui.press.view import PressView

_FLAT = "Flat anvils read short in a curved bore: use a ball or a knife edge, or type the anvil's width."


def how_to(view: PressView) -> PressQuestion:
    """What is opened by the key: the ways of measuring, then every caution."""
    return PressQuestion(
        heading="HOW TO MEASURE: with what?",
        answers=(
            ("inside: keyway floor to the far wall", _inside(view)),
            ("inside over a block or key that lies in the keyway", Later(partial(_block, view))),
            ("depth at the side wall of the keyway; the bore must be measured", Later(partial(_wall, view))),
            ("floor to floor of two keyways opposite each other", Later(partial(_floor, view))),
        ),
        after=(
            GAUGING,
            "Gauge in the middle of the keyway.",
            BOTH_ENDS,
            "",
            *(f"{CAUTION} {plain(each.text)}" for each in (view.next.cautions if view.next else ())),
            "",
            *(line for heading, words in work_cautions(view.drive) for line in (heading.upper(), words)),
        ),
        key=PadKey.HOW_TO,
    )


def _inside(view: PressView) -> PressQuestion:
    return PressQuestion(
        heading="INSIDE: ball, knife edge or flat anvil?",
        lines=(_FLAT,),
        answers=(("ball, or knife edge", Measure(Gauging())),),
        prompt="1 Enter, or the width of the flat anvil",
        unit=True,
        gauged=_size(view, lambda size: Gauging(anvil=size)),
    )


def _block(view: PressView) -> PressQuestion:
    return PressQuestion(
        heading="OVER A BLOCK: how high is it?",
        lines=("Lay a gauge block or a key of known height in the keyway, flat on its floor.", _FLAT),
        prompt="Height of the block",
        unit=True,
        gauged=_size(view, lambda size: Gauging(way=Way.BLOCK, block=size)),
    )


def _wall(view: PressView) -> PadOutcome:
    return _with_bore(view, Gauging(way=Way.WALL))


def _floor(view: PressView) -> PressQuestion:
    def first(gauged: TypedReading) -> PadOutcome:
        return _with_bore(view, Gauging(way=Way.FLOOR, other=gauged.lengths[0]))

    return PressQuestion(
        heading="FLOOR TO FLOOR: T of the keyway opposite?",
        lines=("T of the other keyway as it was read before this one was begun.",),
        prompt="T of the keyway opposite",
        unit=True,
        gauged=first,
    )


def _with_bore(view: PressView, gauging: Gauging) -> PadOutcome:
    """The way, once the bore is measured: its whole tolerance would go into the reading."""
    if view.run.hub.bore_measured is not None:
        return _checked(view, replace(gauging, bore=view.run.hub.bore_measured))
    return PressQuestion(
        heading="MEASURE THE BORE FIRST",
        lines=("The whole tolerance of the bore would go into this reading.",),
        prompt="The bore as measured",
        unit=True,
        gauged=_size(view, lambda size: replace(gauging, bore=size)),
    )


def _size(view: PressView, made: Callable[[Length], Gauging]) -> Callable[[TypedReading], PadOutcome]:
    def typed(gauged: TypedReading) -> PadOutcome:
        if len(gauged.lengths) > 1:
            return Say((f"read {' and '.join(gauged.texts)}; type one size",))
        return _checked(view, made(gauged.lengths[0]))

    return typed


def _checked(view: PressView, gauging: Gauging) -> PadOutcome:
    """The way, where it can be used on this hub."""
    try:
        gauging.reads(view.state, view.run.keyway.reading.nominal)
    except InputError as error:
        return Say((str(error),))
    return Measure(gauging)
