"""The plans of an answer and the passes of a plan as tables; figures without their units, as a gauge reads."""

from __future__ import annotations

from typing import TYPE_CHECKING

from broachplan.sheets.result import Column
from broachplan.sheets.table import Field, View
from broachplan.shown import shims_in_words

if TYPE_CHECKING:
    from broachplan.lengths import Length, Units
    from broachplan.planner.answer import Pass, Plan

NOT_KNOWN = "-"


def in_units(heading: str, units: Units, more: str = "") -> str:
    """A heading with the units of the figures below it, and what else is to be known of them: ``Passes (in, lbf)``."""
    from broachplan.quantities import show_force
    from broachplan.sheets.sizes import gauge_units, unit_word

    known = f"{unit_word(gauge_units(units))}, {show_force(1, units).rpartition(' ')[2]}"
    return f"{heading} ({'; '.join(filter(None, (known, more)))})"


def newtons_of(force: float | None) -> float | None:
    """A force for another program, to three decimals."""
    return None if force is None else round(force, 3)


def _figure(length: Length | None, view: View) -> str:
    from broachplan.sheets.sizes import gauge_units, number

    return NOT_KNOWN if length is None else number(length, gauge_units(view.units))


def _force(newtons: float | None, view: View) -> str:
    from broachplan.quantities import show_force

    return NOT_KNOWN if newtons is None else show_force(newtons, view.units).rpartition(" ")[0]


def _peak(plan: Plan, view: View) -> str:
    from broachplan.sheets.plan import peak_force

    return _force(peak_force(plan), view)


def _band(plan: Plan, view: View) -> str:
    return f"{_figure(plan.band.low, view)}-{_figure(plan.band.high, view)}" if plan.band else NOT_KNOWN


def _load(one: Pass, view: View) -> str:
    if one.force_low is None or one.force_high is None:
        return "not known"
    return f"{_force(one.force_low, view)}-{_force(one.force_high, view)}"


def _cut_per_tooth(one: Pass, view: View) -> str:
    """Of the first tooth, which may be clear of the metal, and the largest."""
    first = _figure(one.first_bite, view) if one.first_bite else "clear"
    return f"{first}, {_figure(one.largest_bite, view)}"


PLANS: tuple[Field[Plan], ...] = (
    Field(Column("broach", least=8, tags=True), lambda plan: plan.broach.tag),
    Field(Column("bushing", least=8, tags=True), lambda plan: plan.bushing.tag),
    Field(Column("pass", right=True), lambda plan: len(plan.passes)),
    Field(Column("reads", right=True), lambda _: None, words=lambda plan, view: _figure(plan.reading, view)),
    Field(Column("load", right=True, drops=1), lambda _: None, words=_peak),
    Field(Column("!", right=True), lambda plan: len(plan.cautions) or None),
    Field(Column("may read", drops=3), lambda _: None, words=_band),
    Field(Column("press", drops=2), lambda plan: plan.press.tag if plan.press else "none"),
)
# In the order of their keys in JSON.
PASSES: tuple[Field[Pass], ...] = (
    Field(Column("pass", right=True), lambda one: one.number, "number"),
    Field(Column("shims", least=14, tags=True), lambda one: [shim.tag for shim in one.stack], "shims", lambda one, _: shims_in_words(shim.tag for shim in one.stack)),
    Field(Column("total", right=True), lambda one: one.shims.nm, "shims_nm", lambda one, view: _figure(one.shims, view)),
    Field(Column("should read", right=True), lambda one: one.reading.nm, "reading_nm", lambda one, view: _figure(one.reading, view) if one.reading > view.bore else "not yet"),
    Field(None, lambda one: one.band.low.nm if one.band else None, "reading_low_nm"),
    Field(None, lambda one: one.band.high.nm if one.band else None, "reading_high_nm"),
    Field(Column("cut per tooth", right=True, drops=3), lambda one: one.first_bite.nm, "first_bite_nm", _cut_per_tooth),
    Field(None, lambda one: None if one.largest_bite is None else one.largest_bite.nm, "largest_bite_nm"),
    Field(Column("teeth", right=True, drops=2), lambda one: one.teeth_cutting, "teeth_cutting", lambda one, _: NOT_KNOWN if one.teeth_cutting is None else str(one.teeth_cutting)),
    Field(None, lambda one: one.teeth_in_cut, "teeth_in_cut"),
    Field(Column("load", right=True, drops=1), lambda one: newtons_of(one.force_low), "force_low_n", _load),
    Field(None, lambda one: newtons_of(one.force_high), "force_high_n"),
)  # fmt: skip
