"""A piece's size in the few words that people call it by: its nominal size where the measured figure tells it.

A figure is called by a fraction of an inch (sixteenths, below half an inch thirty-seconds) or by whole millimetres
where it lies by a few thou on the side of it that such a figure lies on: a bushing is under its bore, a slot over its
broach. Where both systems would do (a slot of 0.3160 in serves 5/16 in and 8 mm) or neither, the measured figure
stands: mixing inch and metric tooling spoils work. The windows are common practice, no source.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from broachplan.lengths import NM_PER_INCH, NM_PER_MM, Length, Units, show
from broachplan.quantities import NEWTONS_PER_LBF, Force, show_force
from broachplan.tooling.pieces import Bushing, Piece, Press, Ring

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


_CUT = _Window(-5, 13)  # what a broach cuts
_UNDER = _Window(-30, -2)  # goes into a bore of that size: bushings and push pins
_SLOT = _Window(5, 35)  # takes a broach of that size


def size_in_words(piece: Piece, units: Units) -> str:
    """Kind and size: ``broach 3/8 in``, ``bushing 1-1/2 in, slot 3/8 in``, ``shim 0.0312 in``, ``press 2,000 lbf``.

    ``units`` is how the shop shows measured lengths. What nobody has measured is left out.
    """
    parts = [str(piece.kind)]
    if isinstance(piece, Press):
        parts = _joined(parts, _force(piece.rated_force, units))
    elif isinstance(piece, Bushing):
        parts = _joined(parts, _nominal(piece.outside_diameter, _UNDER, units))
        slot = _nominal(piece.slot_width, _SLOT, units)
        parts += [f"slot {slot}"] if slot else []
    elif isinstance(piece, Ring):
        parts += [f"wall {show(piece.wall, units)}"] if piece.wall else []
    else:
        parts = _joined(parts, _one_figure(piece, units))
    return ", ".join(parts)


def _joined(parts: list[str], figure: str) -> list[str]:
    return [f"{parts[0]} {figure}"] if figure else parts


def _one_figure(piece: Piece, units: Units) -> str:
    """The first figure of the kind. One chooses by a shim's thickness and a ring's wall, so they stand as measured."""
    figure = getattr(piece, piece.figures()[0].name)
    if figure is None:
        return ""
    window = {"keyway_width": _CUT, "diameter": _UNDER}.get(piece.figures()[0].name)
    return show(figure, units) if window is None else _nominal(figure, window, units)


def _nominal(figure: Length | None, window: _Window, units: Units) -> str:
    if figure is None:
        return ""
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


def _force(force: Force | None, units: Units) -> str:
    """Whole kilonewtons or tens of pounds as they stand on the press, else in the shop's units."""
    if force is None:
        return ""
    if force.mn % _MN_PER_KN == 0:
        return f"{force.mn // _MN_PER_KN} kN"
    pounds = force.newtons / float(NEWTONS_PER_LBF)
    if abs(pounds - round(pounds, -1)) < 0.01:
        return show_force(force.newtons, Units.INCH)
    return show_force(force.newtons, units)
