"""The passes of a plan as a table that fits a terminal."""

from __future__ import annotations

from collections.abc import Sequence

from broachplan.cli.layout import WIDTH
from broachplan.lengths import Length, Units, show
from broachplan.planner.answer import Pass
from broachplan.quantities import show_force

_HEADS = ("Pass", "Put in", "Total", "Gauge reads", "First tooth", "Teeth", "Press load")
_GAP = "  "
_PUT_IN = 1
NOT_KNOWN = "-"
_NARROWEST = 12


def pass_table(passes: Sequence[Pass], bore: Length, units: Units) -> list[str]:
    """One row a pass, heads first.

    Shims whose tags do not fit beside the figures get lines of their own above their row.
    """
    rows = [_row(each, bore, units) for each in passes]
    widths = [max(len(row[column]) for row in (_HEADS, *rows)) for column in range(len(_HEADS))]
    others = sum(widths) - widths[_PUT_IN] + len(_GAP) * (len(_HEADS) - 1)
    widths[_PUT_IN] = min(widths[_PUT_IN], max(WIDTH - others, _NARROWEST))
    lines = [_line(_HEADS, widths)]
    for row in rows:
        lines += _lines(row, widths)
    return lines


def _row(each: Pass, bore: Length, units: Units) -> tuple[str, ...]:
    return (
        str(each.number),
        ", ".join(shim.tag for shim in each.stack) or "no shim",
        show(each.shims, units),
        # A gauge finds the keyway floor only once it lies past the bore.
        show(each.reading, units) if each.reading > bore else "not yet",
        show(each.first_bite, units) if each.first_bite else "clear",
        NOT_KNOWN if each.teeth_cutting is None else str(each.teeth_cutting),
        _load(each, units),
    )


def _load(each: Pass, units: Units) -> str:
    if each.force_low is None or each.force_high is None:
        return "not known"
    low, high = show_force(each.force_low, units), show_force(each.force_high, units)
    return f"{low.rpartition(' ')[0]} to {high}"


def _lines(row: tuple[str, ...], widths: Sequence[int]) -> list[str]:
    indent = " " * (widths[0] + len(_GAP))
    words = row[_PUT_IN].split(", ")
    if all(len(part) <= widths[_PUT_IN] for part in _folded(words, widths[_PUT_IN])):
        beside, *below = _folded(words, widths[_PUT_IN])
        return [_line(_with_put_in(row, beside), widths), *(indent + part for part in below)]
    above = [indent + part for part in _folded(words, WIDTH - len(indent))]
    return [*above, _line(_with_put_in(row, ""), widths)]


def _folded(words: Sequence[str], width: int) -> list[str]:
    """Words with commas between, whole, on as many lines as they need."""
    lines = [""]
    for word in [*(f"{word}," for word in words[:-1]), words[-1]]:
        if lines[-1] and len(lines[-1]) + 1 + len(word) > width:
            lines.append(word)
        else:
            lines[-1] = f"{lines[-1]} {word}".strip()
    return lines


def _with_put_in(row: tuple[str, ...], text: str) -> tuple[str, ...]:
    return (*row[:_PUT_IN], text, *row[_PUT_IN + 1 :])


def _line(cells: Sequence[str], widths: Sequence[int]) -> str:
    padded = [
        cell.ljust(size) if column == _PUT_IN else cell.rjust(size)
        for column, (cell, size) in enumerate(zip(cells, widths, strict=True))
    ]
    return _GAP.join(padded).rstrip()
