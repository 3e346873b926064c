"""A figure that jumps from what was kept: more often mistyped or misread than worn, so that somebody has to be sure of it."""

from __future__ import annotations

from collections.abc import Mapping

from broachplan.errors import InputError
from broachplan.lengths import Length, Units, show
from broachplan.shown import show_apart
from broachplan.tooling.figures import Kind, Quantity
from broachplan.tooling.pieces import FIGURES

# Common practice, no source: what wears or is reground moves by thousandths, what is misread by a turn of the micrometer.
MOST = Length.inches("0.010")


def check_jumps(kind: Kind, before: Mapping[str, object], after: Mapping[str, object], units: Units) -> None:
    """Refuse lengths that jump.

    Parameters
    ----------
    before, after : the figures of a piece by name, lengths in nm; None where one is not known.
    units : those that the refusal shows.

    Raises
    ------
    InputError : one of them moved by more than `MOST`; it shows what was kept and what was read.
    """
    for figure in FIGURES[kind]:
        old, new = before.get(figure.name), after.get(figure.name)
        if figure.quantity is not Quantity.LENGTH or not isinstance(old, int) or not isinstance(new, int):
            continue
        if abs(new - old) > MOST.nm:
            was, now = show_apart(units, Length(old), Length(new))
            raise InputError(
                figure.label,
                f"it was {was}, and a figure that jumps by more than {show(MOST, units)} is more often misread; measure again, or add that you are sure (--sure)",
                shown=now,
            )
