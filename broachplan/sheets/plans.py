"""The plans of an answer as a table; figures without their units, as a gauge reads."""

from __future__ import annotations

from typing import TYPE_CHECKING

from broachplan.sheets.result import Column
from broachplan.sheets.table import Field, View

if TYPE_CHECKING:
    from broachplan.lengths import Length
    from broachplan.planner.answer import Plan


def _figure(length: Length, view: View) -> str:
    from broachplan.sheets.sizes import gauge_units, number

    return number(length, gauge_units(view.units))


def _load(plan: Plan, view: View) -> str:
    from broachplan.quantities import show_force
    from broachplan.sheets.plan import peak_force

    peak = peak_force(plan)
    return "-" if peak is None else show_force(peak, view.units).rpartition(" ")[0]


def _band(plan: Plan, view: View) -> str:
    return f"{_figure(plan.band.low, view)}-{_figure(plan.band.high, view)}" if plan.band else "-"


PLANS: tuple[Field[Plan], ...] = (
    Field(Column("broach", least=8, tags=True), lambda plan: plan.broach.tag),
    Field(Column("bushing", least=8, tags=True), lambda plan: plan.bushing.tag),
    Field(Column("pass", right=True), lambda plan: len(plan.passes)),
    Field(Column("reads", right=True), lambda _: None, words=lambda plan, view: _figure(plan.reading, view)),
    Field(Column("load", right=True, drops=1), lambda _: None, words=_load),
    Field(Column("!", right=True), lambda plan: len(plan.cautions) or None),
    Field(Column("may read", drops=3), lambda _: None, words=_band),
    Field(Column("press", drops=2), lambda plan: plan.press.tag if plan.press else "none"),
)
