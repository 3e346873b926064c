"""The limits of a reading as a bar, with the readings on it: place and words show it, never a colour alone."""

from __future__ import annotations

from collections.abc import Sequence

from broachplan.lengths import Length, Limits, Units
from broachplan.sheets.sizes import gauge_units
from broachplan.shown import AtLeast, AtMost, show_apart

_SHALLOW, _DEEP = "too shallow ", " too deep"
_LEAST = len(_SHALLOW) + len(_DEEP) + 16


def limits_bar(limits: Limits, readings: Sequence[Length], units: Units, columns: int) -> list[str]:
    """Two lines: the bar and its figures. Deeper lies to the right; the limits are at a third and at two thirds.

    A reading beyond the ends of the bar is an arrow at that end. In too little room there is no bar.
    """
    if columns < _LEAST:
        return []
    inner = columns - len(_SHALLOW) - len(_DEEP)
    low, high = inner // 3, inner - 1 - inner // 3
    bar = ["·"] * inner
    bar[low] = bar[high] = "│"
    for reading in readings:
        place = _place(reading, limits, low, high)
        bar[max(0, min(place, inner - 1))] = "◀" if place < 0 else "▶" if place >= inner else "●"
    lower, *shown, upper = (
        words.rpartition(" ")[0]
        for words in show_apart(gauge_units(units), AtLeast(limits.lower), *readings, AtMost(limits.upper))
    )
    figures = [(low, lower), (high, upper)]
    figures += [(_place(each, limits, low, high), words) for each, words in zip(readings, shown, strict=True)]
    offset = len(_SHALLOW)
    return [
        f"{_SHALLOW}{''.join(bar)}{_DEEP}",
        _figures([(offset + at, words) for at, words in figures], columns),
    ]


def _place(reading: Length, limits: Limits, low: int, high: int) -> int:
    """The column of a reading; one within the limits never lies beyond their marks, one outside never within."""
    spread = max(limits.spread.nm, 1)
    place = low + round((reading.nm - limits.lower.nm) * (high - low) / spread)
    if reading < limits.lower:
        return min(place, low - 1)
    if reading > limits.upper:
        return max(place, high + 1)
    # On the mark itself the limit would be hidden.
    return max(low + 1, min(place, high - 1))


def _figures(figures: Sequence[tuple[int, str]], columns: int) -> str:
    """Figures under their columns; one that would touch another is left off, the first ones have the room."""
    line = [" "] * columns
    for at, words in figures:
        start = max(0, min(at - len(words) // 2, columns - len(words)))
        around = line[max(0, start - 1) : start + len(words) + 1]
        if all(each == " " for each in around):
            line[start : start + len(words)] = words
    return "".join(line).rstrip()
