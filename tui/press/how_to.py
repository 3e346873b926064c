"""How to measure with what is at hand, and all cautions."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial

from broachplan.cut.gauge_ways import Way
from broachplan.errors import InputError
from broachplan.lengths import Length
from tui.plain import plain
from tui.press.cautions import CAUTION
from tui.press.gauging import Gauging
from tui.press.question import Later, Measure, Outcome, Question, Say
from tui.press.typed import Gauged, Key
from tui.press.view import View
from tui.safety import CAUTIONS

_FLAT = "Flat anvils read short in a curved bore: use a ball or a knife edge, or type the anvil's width."


def how_to(view: View) -> Question:
    """What is opened by the key: the ways of measuring, then every caution."""
    return Question(
        heading="HOW TO MEASURE: with what?",
        answers=(
            ("inside: keyway floor to the far wall", _inside(view)),
            ("inside over a block or key that lies in the keyway", Later(partial(_block, view))),
            ("depth at the side wall of the keyway; the bore must be measured", Later(partial(_wall, view))),
            ("floor to floor of two keyways opposite each other", Later(partial(_floor, view))),
        ),
        after=(
            "Measure in the middle plane of the keyway, at both ends of the hub: type the top,",
            "/ and the bottom. Ram up, hub off, deburr first: a burr gives a false reading.",
            "",
            *(f"{CAUTION} {plain(each.text)}" for each in (view.next.cautions if view.next else ())),
            "",
            *(line for heading, words in CAUTIONS for line in (heading.upper(), words)),
        ),
        key=Key.HOW_TO,
    )


def _inside(view: View) -> Question:
    return Question(
        heading="INSIDE: ball, knife edge or flat anvil?",
        lines=(_FLAT,),
        answers=(("ball, or knife edge", Measure(Gauging())),),
        prompt="1 Enter, or the width of the flat anvil",
        unit=True,
        gauged=_size(view, lambda size: Gauging(anvil=size)),
    )


def _block(view: View) -> Question:
    return Question(
        heading="OVER A BLOCK: how high is it?",
        lines=("Lay a gauge block or a key of known height in the keyway, flat on its floor.", _FLAT),
        prompt="Height of the block",
        unit=True,
        gauged=_size(view, lambda size: Gauging(way=Way.BLOCK, block=size)),
    )


def _wall(view: View) -> Outcome:
    return _with_bore(view, Gauging(way=Way.WALL))


def _floor(view: View) -> Question:
    def first(gauged: Gauged) -> Outcome:
        return _with_bore(view, Gauging(way=Way.FLOOR, other=gauged.lengths[0]))

    return Question(
        heading="FLOOR TO FLOOR: T of the keyway opposite?",
        lines=("T of the other keyway as it was read before this one was begun.",),
        prompt="T of the keyway opposite",
        unit=True,
        gauged=first,
    )


def _with_bore(view: View, gauging: Gauging) -> Outcome:
    """The way, once the bore is measured: its whole tolerance would go into the reading."""
    if view.run.hub.bore_measured is not None:
        return _checked(view, replace(gauging, bore=view.run.hub.bore_measured))
    return Question(
        heading="MEASURE THE BORE FIRST",
        lines=("The whole tolerance of the bore would go into this reading.",),
        prompt="The bore as measured",
        unit=True,
        gauged=_size(view, lambda size: replace(gauging, bore=size)),
    )


def _size(view: View, made: Callable[[Length], Gauging]) -> Callable[[Gauged], Outcome]:
    def typed(gauged: Gauged) -> Outcome:
        if len(gauged.lengths) > 1:
            return Say((f"read {' and '.join(gauged.texts)}; type one size",))
        return _checked(view, made(gauged.lengths[0]))

    return typed


def _checked(view: View, gauging: Gauging) -> Outcome:
    """The way, where it can be used on this hub."""
    try:
        gauging.reads(view.state, view.run.keyway.reading.nominal)
    except InputError as error:
        return Say((str(error),))
    return Measure(gauging)
