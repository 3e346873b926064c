"""Where the readings of a plan may come out, in words: the bands, what they are made of, and what is left out."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from broachplan.cut.budget import Budget, StackPart, Term
from broachplan.cut.measure_first import MeasureFirst
from broachplan.cut.play import Span
from broachplan.lengths import Length, Units, show
from broachplan.planner.answer import Band, Pass, Plan, PlanBudget
from broachplan.shown import AtMost, numbered, show_apart
from broachplan.tooling.hub import Hub

HEADING = "How sure the reading is"
_LEFT_OUT = "Left out: burrs; the couple of ram and teeth (deep at the far end); soft material; the spring of the press (shallow)."
_SLOT = "The slot is taken as in the middle of the bushing: no figure of the piece says so."
_NAMES = {
    StackPart.BROACH: "height over the last tooth of broach",
    StackPart.BUSHING: "web of bushing",
    StackPart.RING: "wall of ring",
    StackPart.SHIM: "thickness of shim",
    StackPart.BORE: "the bore",
}


def band_between(band: Band | None, units: Units) -> str:
    """``1.1182 to 1.1236 in``; empty where no band was added."""
    if band is None:
        return ""
    low, high = show(band.low, units), show(band.high, units)
    return f"{low.rpartition(' ')[0]} to {high}"


def band_points(plan: Plan, hub: Hub, units: Units) -> list[str]:
    """What is to be said of the bands of a plan, a point each; nothing where no band was added."""
    if plan.budget is None:
        return []
    if not plan.passes:
        return [
            f"Nothing is left to do: the reading is as good as the gauge, {band_between(plan.band, units)}."
        ]
    words = _Words(units)
    return [
        *words.readings(plan, hub),
        *words.terms(plan.budget.last),
        words.play(plan.budget.last),
        words.first(plan.budget.first),
        *words.ends(plan.budget),
        words.aside(plan.budget),
        _SLOT,
        _LEFT_OUT,
    ]


class _Words:
    """The points, with lengths in one unit."""

    def __init__(self, units: Units) -> None:
        self._units = units

    def readings(self, plan: Plan, hub: Hub) -> Iterator[str]:
        *before, last = plan.passes
        gaugeable = [*(one for one in before if one.reading > hub.widest_bore), last]
        yield "95 readings of 100 lie within these, wherever the bushing sits in the bore: " + "; ".join(
            self._reading(one) for one in gaugeable
        )
        assert plan.budget is not None
        if any(term.what is StackPart.GAUGE for term in plan.budget.last.terms):
            yield (
                "They start from the last reading: broach, bushing and the shims that stay in cancel out. They end where "
                "the bands from before the reading end, unless it is doubtful."
            )

    def _reading(self, one: Pass) -> str:
        return f"pass {one.number} {band_between(one.band, self._units)}"

    def terms(self, budget: Budget) -> Iterator[str]:
        """Each random term with its share and its source; like ones together."""
        pairs = zip(budget.terms, budget.shares, strict=True)
        for _, alike in groupby(pairs, key=lambda pair: pair[0]):
            together = list(alike)
            share = f"{float(sum(share for _, share in together)):.0%} of the spread"
            term = together[0][0]
            yield f"{self._named(term, len(together))}: {self._range(term)}, {share} ({term.source})"

    def _named(self, term: Term, amount: int) -> str:
        if term.what is StackPart.GAUGE:
            return "the gauge that took the last reading"
        if term.what is StackPart.JOINT:
            return f"oil in {numbered(amount, 'joint')}{'' if term.to_nm else ' of the stack that was read'}, each"
        return f"{_NAMES[term.what]} {term.tag}"

    def _range(self, term: Term) -> str:
        if term.from_nm == -term.to_nm:
            return f"± {self._show(term.to_nm)}"
        return f"0 to {self._show(abs(term.from_nm + term.to_nm))}"

    def play(self, budget: Budget) -> str:
        if not budget.gap.width:
            return "play of the bushing: none"
        return f"play of the bushing: {self._gap(budget.gap)}; it is counted in full, in no share"

    def _gap(self, gap: Span) -> str:
        deeper = f"up to {self._show(gap.most)} deeper"
        return deeper if gap.least >= 0 else f"{deeper}, or up to {self._show(-gap.least)} shallower"

    def first(self, first: MeasureFirst | None) -> str:
        if first is None:
            return "Measuring anything again would not narrow this."
        what = _NAMES[first.what] if first.tag is None else f"{_NAMES[first.what]} {first.tag}"
        now, then = show_apart(self._units, Length(first.width), Length(first.then))
        return f"Measure first: {what}; the band is then {then} wide, not {now}."

    def ends(self, budget: PlanBudget) -> Iterator[str]:
        last = budget.last
        yield f"The readings at the two ends of the hub may be {show(budget.ends_differ, self._units)} apart."
        if last.top != last.gap or last.bottom != last.gap:
            yield f"The hub is longer than the bushing: at its far end, play counts {self._gap(last.bottom)}."

    def aside(self, budget: PlanBudget) -> str:
        off, off_most = self._against(budget.off_centre, budget.off_centre_most)
        lead, lead_most = self._against(budget.lead, budget.lead_most)
        return (
            f"The keyway may be up to {off} off the middle of the bore ({off_most}) and lean up to {lead} to a side "
            f"over the hub ({lead_most})."
        )

    def _against(self, may: Length, most: Length | None) -> list[str]:
        if most is None:
            return [show(may, self._units), "no limit in the standard"]
        shown, limit = show_apart(self._units, may, AtMost(most))
        return [shown, f"the standard allows {limit}"]

    def _show(self, nm: int) -> str:
        return show(Length(nm), self._units)
