"""Bands for the plans of an answer: the planner itself knows none, so they are added to what it answers."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from broachplan.crib.records import Measurement
from broachplan.cut.budget import Budget
from broachplan.keyways.keyway import Keyway
from broachplan.lengths import Length
from broachplan.planner.answer import Answer, Band, Caution, Pass, Plan, PlanBudget, Warn
from broachplan.planner.certainty import Certainty, PriorReading, Setup
from broachplan.planner.rules import widest_part
from broachplan.shown import AtLeast, AtMost, show_apart
from broachplan.standards.keyseat_position import lead_row, position_rows
from broachplan.standards.named import Standard


def with_bands(
    answer: Answer, measured: Mapping[str, Measurement], gauged: PriorReading | None = None
) -> Answer:
    """The answer with a band for each pass, what the last one is made of, and the cautions that follow from it.

    Parameters
    ----------
    measured : how the pieces were measured, by tag.
    gauged : the reading after which the passes are to be done; None before any reading.
    """
    banding = _Banding(Certainty(answer.hub, answer.settings, measured), answer.keyway, gauged)
    return replace(answer, plans=tuple(map(banding.plan, answer.plans)))


@dataclass(frozen=True, slots=True)
class _Banding:
    certainty: Certainty
    keyway: Keyway
    gauged: PriorReading | None

    def plan(self, plan: Plan) -> Plan:
        """One plan with its bands."""
        budgets = [self.certainty.budget(self._setup(plan, one), self.gauged) for one in plan.passes]
        last = budgets[-1] if budgets else self.certainty.budget_read(plan.reading)
        made = replace(
            plan,
            passes=tuple(
                replace(one, band=_band(budget)) for one, budget in zip(plan.passes, budgets, strict=True)
            ),
            band=_band(last),
            budget=self._budget(plan, last),
        )
        return replace(made, cautions=(*self._cautions(made), *plan.cautions))

    def _setup(self, plan: Plan, one: Pass) -> Setup:
        return Setup(plan.broach, plan.bushing, one.stack)

    def _budget(self, plan: Plan, last: Budget) -> PlanBudget:
        play, slot = self.certainty.play(plan.bushing), plan.bushing.slot_width
        assert slot is not None
        # After a reading the pieces may be a pair that no plan would take.
        clearance = max((slot - widest_part(plan.broach)).nm, 0)
        first = self.certainty.first(self._setup(plan, plan.passes[-1]), self.gauged) if plan.passes else None
        off_centre_most, lead_most = self._position()
        return PlanBudget(
            last=last,
            first=first,
            ends_differ=Length(play.ends_differ),
            off_centre=Length(play.off_centre(clearance)),
            off_centre_most=off_centre_most,
            lead=Length(play.lead(clearance)),
            lead_most=lead_most,
        )

    def _position(self) -> tuple[Length | None, Length | None]:
        """What the standard allows off centre and as lead; None where it says nothing."""
        if self.keyway.standard is not Standard.INCH:
            return None, None
        (offset,) = position_rows("offset")
        length = self.certainty.hub.length
        return offset.at(length), lead_row(length).at(length)

    def _cautions(self, plan: Plan) -> Iterator[Caution]:
        yield from self._past_a_limit(plan)
        if plan.passes:
            yield from self._loose(plan)
            yield from self._aside(plan)

    def _past_a_limit(self, plan: Plan) -> Iterator[Caution]:
        assert plan.band is not None
        limits, units = self.keyway.reading, self.certainty.settings.shown_in
        sides = []
        if plan.band.high > limits.upper:
            past = plan.band.high - limits.upper
            high, most, by = show_apart(units, plan.band.high, AtMost(limits.upper), past)
            sides.append(f"too deep: up to {high}, {by} past the limit of {most}")
        if plan.band.low < limits.lower:
            short = limits.lower - plan.band.low
            low, least, by = show_apart(units, plan.band.low, AtLeast(limits.lower), short)
            sides.append(f"too shallow: down to {low}, {by} under the limit of {least}")
        if sides:
            what = (
                "the last reading may come out"
                if plan.passes
                else "as the gauge may be off, the keyway may be"
            )
            yield Caution(Warn.BAND, f"{what} {', or '.join(sides)}; {self._against_it(plan)}")

    def _against_it(self, plan: Plan) -> str:
        """What to do about a band that reaches past a limit."""
        if not plan.passes:
            return "gauge it again, with a better gauge"
        first = plan.budget.first if plan.budget else None
        gaugeable = any(one.reading > self.certainty.hub.widest_bore for one in plan.passes[:-1])
        steps = [
            *([f"measure {first.what} {first.tag} again"] if first and first.tag else []),
            *(["measure the bore and type its size"] if first and not first.tag else []),
            *(["gauge before the last pass"] if gaugeable else []),
        ]
        return ", and ".join(steps) or "cut a trial piece first"

    def _loose(self, plan: Plan) -> Iterator[Caution]:
        hub, settings = self.certainty.hub, self.certainty.settings
        assert plan.bushing.outside_diameter is not None
        play = hub.widest_bore - plan.bushing.outside_diameter
        if play > settings.loose_play or 2 * play.nm > self.keyway.reading.spread.nm:
            has = "may have" if hub.bore_measured is None else "has"
            then = (
                "measure the bore and type its size"
                if hub.bore_measured is None and hub.bore.spread
                else "use a bushing nearer to the bore, or press its back against that wall"
            )
            (shown,) = show_apart(settings.shown_in, play)
            yield Caution(
                Warn.LOOSE,
                f"the bushing {has} {shown} of play, and the keyway comes out deep by any gap left at the wall opposite it: {then}",
            )

    def _aside(self, plan: Plan) -> Iterator[Caution]:
        budget, units = plan.budget, self.certainty.settings.shown_in
        assert budget is not None
        if budget.off_centre_most is not None and budget.off_centre > budget.off_centre_most:
            may, most = show_apart(units, budget.off_centre, AtMost(budget.off_centre_most))
            yield Caution(
                Warn.OFF_CENTRE,
                f"the keyway may come out {may} off the middle of the bore; the standard allows {most}: "
                "use a bushing that fits bore and broach more closely",
            )
        if budget.lead_most is not None and budget.lead > budget.lead_most:
            may, most = show_apart(units, budget.lead, AtMost(budget.lead_most))
            yield Caution(
                Warn.LEAD,
                f"the keyway may lean {may} to a side over the hub; the standard allows {most}: "
                "use a bushing that fits bore and broach more closely, and keep it square",
            )


def _band(budget: Budget) -> Band:
    return Band(Length(budget.low), Length(budget.high))
