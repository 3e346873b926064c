"""A piece's size in the few words that people call it by: its nominal size where the measured figure settles it.

A figure is called by a fraction of an inch (sixteenths, below half an inch thirty-seconds) or by whole millimetres
where it lies by a few thou on the side of it that such a figure lies on: a bushing is under its bore, a slot over its
broach. Where both systems fit (a slot of 0.3160 in serves 5/16 in and 8 mm) or neither, the measured figure
is used: mixing inch and metric tooling spoils work. The windows are common practice, no source.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from broachplan.lengths import NM_PER_INCH, NM_PER_MM, Length, Units, show
from broachplan.quantities import NEWTONS_PER_LBF, Force, show_force
from broachplan.tooling.figures import Figure, Nominal
from broachplan.tooling.measures import Value, show_figure
from broachplan.tooling.pieces import Piece

_TENTH = NM_PER_INCH // 10_000
_MN_PER_KN = 1_000_000


@dataclass(frozen=True, slots=True)
class _Window:
    """How far a figure lies from its nominal size, in ten-thousandths of an inch; the size itself does too."""

    least: int
    most: int

    def holds(self, figure: Length, nominal: Length) -> bool:
        off = (figure - nominal).nm
        return off == 0 or self.least * _TENTH <= off <= self.most * _TENTH


_WINDOWS = {Nominal.CUT: _Window(-5, 13), Nominal.UNDER: _Window(-30, -2), Nominal.SLOT: _Window(5, 35)}


def size_in_words(piece: Piece, units: Units) -> str:
    """Kind and size: ``broach 3/8 in``, ``bushing 1-1/2 in, slot 3/8 in``, ``shim 0.0312 in``, ``press 2,000 lbf``.

    ``units`` is how the shop shows measured lengths. What nobody has measured is left out.
    """
    words = str(piece.kind)
    for figure in piece.figures():
        value = getattr(piece, figure.name)
        if figure.on_label is None or value is None:
            continue
        before = f", {figure.on_label}" if figure.on_label else ""
        words += f"{before} {_in_words(figure, value, units)}"
    return words


def _in_words(figure: Figure, value: Value, units: Units) -> str:
    """People choose by a shim's thickness and a ring's wall, so they are shown as measured."""
    if isinstance(value, Force):
        return _force(value, units)
    if figure.nominal is None or not isinstance(value, Length):
        return show_figure(value, units)
    return _nominal(value, _WINDOWS[figure.nominal], units)


def _nominal(figure: Length, window: _Window, units: Units) -> str:
    inch = [(size, Units.FRACTION) for size in _fractions_near(figure) if window.holds(figure, size)]
    metric = [size for size in _whole_mm_near(figure) if window.holds(figure, size)]
    if inch and not metric:
        return show(*inch[0])
    if metric and not inch:
        return f"{metric[0].nm // NM_PER_MM} mm"
    return show(figure, units)


def _fractions_near(figure: Length) -> list[Length]:
    step = Fraction(NM_PER_INCH, 32 if figure.nm < NM_PER_INCH // 2 else 16)
    return _around(figure, step)


def _whole_mm_near(figure: Length) -> list[Length]:
    return _around(figure, Fraction(NM_PER_MM))


def _around(figure: Length, step: Fraction) -> list[Length]:
    """The multiples of a step just under and over a figure."""
    under = figure.nm // step
    return [Length(round(step * times)) for times in (under, under + 1) if times]


def _force(force: Force, units: Units) -> str:
    """Whole kilonewtons or tens of pounds as marked on the press, else in the shop's units."""
    if force.mn % _MN_PER_KN == 0:
        return f"{force.mn // _MN_PER_KN} kN"
    pounds = force.newtons / float(NEWTONS_PER_LBF)
    if abs(pounds - round(pounds, -1)) < 0.01:
        return show_force(force.newtons, Units.INCH)
    return show_force(force.newtons, units)
