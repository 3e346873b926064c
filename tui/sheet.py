"""A text of headings and figures in two columns, narrow enough for half a screen of 80."""

from __future__ import annotations

from rich.text import Text

from broachplan.lengths import NM_PER_INCH, NM_PER_MM, Length, Limits, Units
from broachplan.shown import nominal_in_words, span_in_words
from tui.plain import plain
from tui.words import figure, gauge_units, limits_words, unit_word

MEMORY = "memory"
_NAME = 11


class Sheet:
    """Collects the lines; lengths are shown in ``units``. ``text`` is what stands above."""

    def __init__(self, units: Units, text: Text | None = None) -> None:
        self.units = units
        self.text = text or Text()

    def head(self, words: str, status: str = "") -> None:
        """A heading; figures under it that rest on memory say so here."""
        self.text.append(f"{plain(words)}{marked(status)}\n", "bold")

    def row(self, name: str, value: str, status: str = "") -> None:
        """One named figure."""
        self.text.append(f" {name:<{_NAME - 1}} {plain(value)}{marked(status)}\n")

    def say(self, words: str, style: str = "") -> None:
        """A sentence."""
        self.text.append(f"{plain(words)}\n", style)

    def size(self, length: Length) -> str:
        """One length with its unit."""
        return f"{figure(length, self.units)} {unit_word(self.units)}"

    def between(self, limits: Limits) -> str:
        """Both limits."""
        return limits_words(limits, self.units)

    def with_limits(self, limits: Limits) -> str:
        """The nominal size, then its limits."""
        if limits.lower == limits.upper == limits.nominal:
            return self.size(limits.nominal)
        nominal = nominal_in_words(limits, gauge_units(self.units))
        return f"{nominal.rpartition(' ')[0]}, {self.between(limits)}"

    def span(self, ends: tuple[Length, Length]) -> str:
        """From the smaller to the larger."""
        return span_in_words(*ends, gauge_units(self.units))

    def exact(self, length: Length) -> str:
        """A move on a dial: with the places it has where it does not come out in tenths of a thou or micrometres."""
        metric = self.units is Units.MM
        step, whole, places = (1000, NM_PER_MM, 6) if metric else (2540, NM_PER_INCH, 7)
        if not length.nm % step:
            return self.size(length)
        return f"{length.nm / whole:.{places}f}".rstrip("0") + f" {unit_word(self.units)}"

    def done(self) -> Text:
        """The whole text."""
        self.text.rstrip()
        return self.text


def marked(status: str) -> str:
    """The mark behind what rests on memory."""
    return " (from memory)" if status == MEMORY else ""
