"""What a reading means, in words: how deep it is, whether that is usual, what follows for the passes left."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from broachplan.lengths import Length, Limits, Units
from broachplan.sheets.sizes import gauge_units
from broachplan.shown import between_in_words, limits_in_words
from broachplan.tooling.pieces import Shim
from tui.press.stack_words import in_short
from tui.words import figure

# The nearest come first; more of them would only be guesses to read through.
_MOST_STACKS = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadBeside:
    """A reading beside what was expected of it; ``low`` and ``high`` are its band."""

    what: str
    readings: tuple[Length, ...]
    expected: Length
    low: Length
    high: Length
    is_good: bool = False

    @property
    def middle(self) -> Length:
        """The reading, or the mean of both ends, half-even."""
        return Length(round(sum(each.nm for each in self.readings) / len(self.readings)))


def reads(read: ReadBeside, units: Units) -> str:
    """``PASS 2 READS 1.0739: 0.0020 DEEP (should read 1.0719; 1.0717 to 1.0747 usual).``

    What is usual is left out of a hub that is good: its limits say more.
    """
    shown = " and ".join(figure(each, units) for each in read.readings)
    if read.is_good:
        return f"{read.what} READS {shown}: {off_words(read.middle - read.expected, units)} (should read {figure(read.expected, units)})."
    should = f"should read {figure(read.expected, units)}; {_span(read.low, read.high, units)} usual"
    return f"{read.what} READS {shown}: {off_words(read.middle - read.expected, units)} ({should})."


def off_words(off: Length, units: Units) -> str:
    """How far a reading is off, in one direction or the other; what a gauge does not show is nothing."""
    shown = figure(abs(off), units)
    if not shown.strip("0."):
        return "AS PLANNED"
    return f"{shown} {'DEEP' if off.nm > 0 else 'SHALLOW'}"


def not_usual(as_if: Sequence[Sequence[Shim]], units: Units) -> tuple[str, ...]:
    """Of a doubtful reading: what to do before anything else, and what it looks like."""
    stacks = "; or ".join(in_short(stack, units) for stack in as_if[:_MOST_STACKS])
    return (
        "Wipe keyway and gauge, deburr, and gauge it again before anything is cut.",
        *((f"It reads as if this was in: {stacks}.",) if stacks else ()),
    )


def good(hub: str, limits: Limits, units: Units) -> str:
    """A hub whose last reading is within."""
    within = limits_in_words(limits, gauge_units(units)).rpartition(" ")[0]
    return f"{hub} IS GOOD: {within}. Try the key, then the shaft; mark the hub."


def past(deepest: Length, limits: Limits, units: Units, end: str = "") -> list[str]:
    """A reading over the upper limit: by how much and what it means."""
    by = figure(deepest - limits.upper, units)
    where = f" at the {end}" if end else ""
    return [
        f"TOO DEEP{where} by {by}: that much more air over the key, that much less wall.",
        "No pass makes it shallower. Set it aside, scrap it, or have it accepted.",
    ]


def what_is_left(
    before: Sequence[tuple[Shim, ...]],
    now: Sequence[tuple[Shim, ...]],
    first: int,
    last_expected: Length,
    off: Length,
    limits: Limits,
    units: Units,
) -> str:
    """What the reading does to the passes left; ``before`` and ``now`` are their stacks, ``first`` the next pass."""
    inside = "still inside the limits" if last_expected in limits else "NOT inside the limits"
    which = f"Pass {first}" if len(now) == 1 else f"Passes {first} to {first + len(now) - 1}"
    if list(before) == list(now):
        stay = "stays" if len(now) == 1 else "stay"
        shown = figure(abs(off), units)
        deeper = f"{shown} {'deeper' if off.nm > 0 else 'shallower'}, " if shown.strip("0.") else ""
        return f"{which} {stay} as planned: {deeper}{inside}."
    stacks = "; then ".join(in_short(stack, units) for stack in now)
    return f"NEW PLAN. {which}: {stacks}; it should come to {figure(last_expected, units)}, {inside}."


def _span(low: Length, high: Length, units: Units) -> str:
    return between_in_words(low, high, gauge_units(units)).rpartition(" ")[0]
