"""What a basket that was found comes to: its lines with the jobs that each serves, and what becomes of every job."""

from __future__ import annotations

from collections.abc import Iterator

from broachplan.buying.assignment import Assignment, assign
from broachplan.buying.basket.costs import cost, shipments
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
from broachplan.buying.offers import OfferBook
from broachplan.buying.sharing import Pieces
from broachplan.buying.verdicts import Verdict


def report(
    now: Assignment, book: OfferBook, readiness: Readiness, outcome: BasketOutcome, budget: int | None
) -> Basket:
    """The basket in full.

    Parameters
    ----------
    now : the jobs as things are.
    """
    found = outcome.found
    basket = dict(found.basket)
    after = _After(now, readiness, found)
    total = cost(basket, book)
    return Basket(
        status=_status(outcome, after),
        currency=book.currency,
        total=total,
        lines=tuple(after.lines()),
        shipping=shipments(basket, book),
        after=tuple(after.verdicts.items()),
        still=tuple(after.still()),
        not_judged=tuple(
            SellerQuestion(one.name, tuple(name for _, name in one.not_given))
            for one in book.offers
            if one.not_given
        ),
        more=outcome.more,
        lower_bound=None if outcome.proven else min(outcome.bound, total),
        assignment_proven=outcome.ready_proven and now.proven,
        budget=budget,
    )


def _status(outcome: BasketOutcome, after: _After) -> BasketStatus:
    if not outcome.proven or not after.now.proven:
        return BasketStatus.NOT_PROVEN
    if outcome.found.basket:
        return BasketStatus.OPTIMAL
    ready = all(verdict is Verdict.READY for verdict in after.verdicts.values())
    return BasketStatus.NOTHING_NEEDED if ready else BasketStatus.IMPOSSIBLE


class _After:
    """The jobs once the basket is there."""

    def __init__(self, now: Assignment, readiness: Readiness, found: Found) -> None:
        self.now, self._readiness, self._found = now, readiness, found
        self._judge = readiness.judge(found.basket)
        self._plans: Pieces = readiness.plans(found.ready, found.basket)
        self._jobs: dict[str, ComingJob] = {one.job.number: one.job for one in now.judged}
        self.verdicts = {number: self._verdict(job) for number, job in self._jobs.items()}

    def _verdict(self, job: ComingJob) -> Verdict:
        if job.number in self._plans:
            return Verdict.READY
        return Verdict.CLASH if self._judge.alone(job).possible else Verdict.BLOCKED

    def lines(self) -> Iterator[BasketLine]:
        """The lines by name."""
        supply = self._readiness.supply
        for name, units in sorted(self._found.basket.items()):
            offer = supply.offers[name]
            yield BasketLine(offer, units, supply.expected(offer), self._serves(name))

    def _serves(self, name: str) -> tuple[str, ...]:
        """The jobs that leave the ready set with one unit fewer, in the order of rank."""
        basket = self._found.basket
        fewer = {**basket, name: basket[name] - 1}
        stock = self._readiness.supply.with_units(basket)[0]
        tags = {tag for tag, unit in stock.tags.items() if unit.offer.name == name}
        users = [one for one, pieces in self._plans.items() if not tags.isdisjoint(pieces)]
        group = self._readiness.group(users, self._found.ready, self._judge)
        left = assign(group, self._readiness.judge(fewer), plans=False).ready
        return tuple(one for one in self._found.ready if one in {job.number for job in group} - {*left})

    def still(self) -> Iterator[StillOut]:
        """Each job that is not ready, and why."""
        for number, verdict in self.verdicts.items():
            job = self._jobs[number]
            if verdict is Verdict.CLASH:
                yield StillOut(number, self._clash(job))
            elif verdict is Verdict.BLOCKED:
                why = self._judge.alone(job).why
                assert why is not None
                yield StillOut(number, f"{why.text}; what would help: {why.cure}")

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
