"""What a hub reads after its last pass, large, beside its limits."""

from __future__ import annotations

from broachplan.runs.state import LoadState, Outcome
from broachplan.sheets.sizes import gauge_units
from broachplan.shown import limits_in_words
from tui.press.sight import Bar, Large
from tui.press.view import PressView
from tui.words import figure

_WORDS = {Outcome.WITHIN: "GOOD", Outcome.PAST: "DEEP", Outcome.SHORT: "SHORT"}
HubResult = tuple[Large, Large | None, Bar | None]


def limits_words(view: PressView) -> str:
    """The limits of the last reading, without their unit."""
    return limits_in_words(view.run.keyway.reading, gauge_units(view.units)).rpartition(" ")[0]


def result_of(view: PressView, load: LoadState, hub: int | None = None) -> HubResult:
    """The reading of a hub, else the one taken last on the load: the figure, a word for it, and the bar."""
    push = load.last_push
    readings = [one for one in push.readings if one.whole and hub in (None, one.hub)] if push else []
    if not readings:
        return (
            Large(f"{view.hub_words(view.state.in_work(load) or load.hubs)}: not gauged", "DONE"),
            None,
            None,
        )
    reading = readings[-1]
    ends = tuple(gauged.t for gauged in reading.ends)
    left = Large(f"{view.hub_words([reading.hub])} READS", figure(ends[0], view.units), view.unit)
    word = _WORDS.get(view.state.outcome_of(reading), "STOP")
    return left, Large(f"LIMITS {limits_words(view)}", word), Bar(view.run.keyway.reading, ends, view.units)
