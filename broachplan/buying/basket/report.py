"""What a basket that was found comes to: its lines with the jobs that each serves, and what becomes of every job."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from functools import partial
from typing import TypeVar

from broachplan.buying.assignment import Assignment, assign
from broachplan.buying.basket.deadline import OutOfTime
from broachplan.buying.basket.readiness import Readiness
from broachplan.buying.basket.result import (
    Basket,
    BasketLine,
    BasketOutcome,
    BasketStatus,
    Found,
    SellerQuestion,
    StillOut,
)
from broachplan.buying.coming import ComingJob
from broachplan.buying.how_sure import OfferCertainty, OfferJudge, least_certain
from broachplan.buying.intervals import Interval, joined
from broachplan.buying.limits import HowSure
from broachplan.buying.offered import Unit
from broachplan.buying.sharing import Pieces
from broachplan.buying.verdicts import Verdict

_NO_TIME = "not looked into: the time ran out"
_NOBODY: tuple[str, ...] = ()
_T = TypeVar("_T")


def report(now: Assignment, readiness: Readiness, outcome: BasketOutcome, budget: int | None) -> Basket:
    """The basket in full. Where the time is over, what is not known yet is left out, and the basket is not called proven.

    Parameters
    ----------
    now : the jobs as things are.
    """
    found = outcome.found
    basket = dict(found.basket)
    after = _After(now, readiness, found)
    supply = readiness.supply
    total = supply.cost(basket)
    lines, still, asked = tuple(after.lines()), tuple(after.still()), tuple(after.not_judged())
    if after.late and outcome.proven:
        outcome = replace(outcome, proven=False, bound=total)
    return Basket(
        status=_status(outcome, after),
        currency=supply.book.currency,
        total=total,
        lines=lines,
        shipping=supply.shipments(basket),
        after=tuple(after.verdicts.items()),
        still=still,
        not_judged=asked,
        more=outcome.more,
        lower_bound=None if outcome.proven else min(outcome.bound, total),
        assignment_proven=outcome.ready_proven and now.proven,
        budget=budget,
        cutting=sum(supply.offers[one.name].price * units for one, units in supply.cuts_in(basket).items()),
    )


def _status(outcome: BasketOutcome, after: _After) -> BasketStatus:
    if not outcome.proven or not after.now.proven:
        return BasketStatus.NOT_PROVEN
    if outcome.found.basket:
        return BasketStatus.OPTIMAL
    ready = all(verdict is Verdict.READY for verdict in after.verdicts.values())
    return BasketStatus.NOTHING_NEEDED if ready else BasketStatus.IMPOSSIBLE


class _After:
    """The jobs once the basket is there. ``late``: the time ended before all was asked."""

    def __init__(self, now: Assignment, readiness: Readiness, found: Found) -> None:
        self.now, self._readiness, self._found = now, readiness, found
        self._stock, self._judge = readiness.bought(found.basket)
        self._plans: Pieces = readiness.plans(found.ready, found.basket)
        self.late = False
        self._jobs: dict[str, ComingJob] = {one.job.number: one.job for one in now.judged}
        self._verdict_now = {one.job.number: one.verdict for one in now.judged}
        self.verdicts = {number: self._verdict(job) for number, job in self._jobs.items()}

    def _verdict(self, job: ComingJob) -> Verdict:
        if job.number in self._plans:
            return Verdict.READY
        # A job that is possible by itself stays so with more pieces.
        otherwise = Verdict.BLOCKED if self._verdict_now[job.number] is Verdict.BLOCKED else Verdict.CLASH
        return self._in_time(
            lambda: Verdict.CLASH if self._judge.alone(job).possible else Verdict.BLOCKED, otherwise
        )

    def _in_time(self, question: Callable[[], _T], otherwise: _T) -> _T:
        """The answer to a question, or what is said where the time is over."""
        try:
            return question()
        except OutOfTime:
            self.late = True
            return otherwise

    def lines(self) -> Iterator[BasketLine]:
        """The lines by name."""
        supply = self._readiness.supply
        for name, units in sorted(supply.bought(self._found.basket).items()):
            offer, serves = supply.offers[name], self._in_time(partial(self._serves, name), _NOBODY)
            sure = self._certainty(name, serves)
            yield BasketLine(
                offer,
                units,
                supply.expected(offer),
                serves,
                sure.certainty,
                sure.values,
                sure.own,
                self._shims_cut(name),
            )

    def _certainty(self, name: str, serves: Sequence[str]) -> OfferCertainty:
        """How certain a line is of the job of which it is least certain."""
        judging = OfferJudge(self._judge, self._stock)
        unit = next(one for one in self._stock.units if one.offer.name == name)
        if self.late and not serves:
            return self._at_worst(unit)
        found = [
            self._in_time(
                partial(judging.certainty, unit, self._jobs[one], self._stock.units), self._at_worst(unit)
            )
            for one in serves
        ]
        least = least_certain([one.certainty for one in found] or [HowSure.SURE])
        return next((one for one in found if one.certainty is least), OfferCertainty(least))

    def _at_worst(self, unit: Unit) -> OfferCertainty:
        """The least certain that a unit can be which was bought, without a further question."""
        if not self._stock.own.keys().isdisjoint(unit.tags):
            return OfferCertainty(HowSure.LIKELY)
        if self._readiness.supply.measure:
            return OfferCertainty(HowSure.MEASURE)
        return OfferCertainty(HowSure.SHIM if self._shims_cut(unit.offer.name) else HowSure.SURE)

    def _shims_cut(self, name: str) -> int:
        cuts = self._readiness.supply.cuts_in(self._found.basket)
        return sum(
            units
            for alike, units in cuts.items()
            if alike.pair is not None and any(name in one.offered for one in alike.pair)
        )

    def not_judged(self) -> Iterator[SellerQuestion]:
        """The offers that lack a figure which a plan needs, and are of no use as they are."""
        supply, bought = self._readiness.supply, self._found.basket
        judging = OfferJudge(supply.judge, supply.stocked)
        units = {unit.offer.name: unit for unit in reversed(supply.stocked.units)}
        out = [
            self._jobs[number] for number, verdict in self.verdicts.items() if verdict is not Verdict.READY
        ]
        for offer in sorted(supply.book.offers, key=lambda one: one.name):
            unit = units.get(offer.name)
            is_likely = unit is not None and any(tag in supply.stocked.own for tag in unit.tags)
            if not offer.not_given or is_likely or offer.name in bought:
                continue
            values: dict[str, list[Interval]] = {}
            for job in out if unit is not None else ():
                assert unit is not None
                sure = self._in_time(
                    partial(judging.certainty, unit, job), OfferCertainty(HowSure.NOT_JUDGED)
                )
                for figure, some in sure.values.items():
                    values.setdefault(figure, []).extend(some)
            would_do = {figure: tuple(joined(some)) for figure, some in values.items()}
            figures = tuple(dict.fromkeys(figure for _, figure in offer.not_given))
            yield SellerQuestion(offer.name, figures, would_do)

    def _serves(self, name: str) -> tuple[str, ...]:
        """The jobs that leave the ready set with one unit fewer, in the order of rank."""
        basket = self._found.basket
        fewer = {**basket, name: basket[name] - 1}
        tags = {tag for tag, unit in self._stock.tags.items() if unit.offer.name == name}
        users = [one for one, pieces in self._plans.items() if not tags.isdisjoint(pieces)]
        group = self._readiness.group(users, self._found.ready, self._judge)
        left = assign(group, self._readiness.judge(fewer), plans=False).ready
        return tuple(one for one in self._found.ready if one in {job.number for job in group} - {*left})

    def still(self) -> Iterator[StillOut]:
        """Each job that is not ready, and why."""
        for number, verdict in self.verdicts.items():
            job = self._jobs[number]
            if verdict is Verdict.CLASH:
                yield StillOut(number, self._in_time(partial(self._clash, job), _NO_TIME))
            elif verdict is Verdict.BLOCKED:
                yield StillOut(number, self._in_time(partial(self._blocked, job), _NO_TIME))

    def _blocked(self, job: ComingJob) -> str:
        why = self._judge.alone(job).why
        assert why is not None
        return f"{why.text}; what would help: {why.cure}"

    def _clash(self, job: ComingJob) -> str:
        could = self._judge.serving(job).pieces - self._judge.off(job, loose=True)
        days = set(job.days)
        others = (
            one
            for one, pieces in sorted(self._plans.items())
            if not pieces.isdisjoint(could)
            and not days.isdisjoint(self._jobs[one].days)
            and not self._judge.sharing.joined((job.number, one))
        )
        return f"clashes with {', '.join(others)}: one after the other?"
