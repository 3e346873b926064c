"""A verdict on each coming job by itself, against the crib as it will be on every one of its days.

Jobs are alike where hub, keyway, press and the usable pieces that could serve them are; those are judged once. Only
whether a plan exists is asked: the best plan, refusals and what to make are for a job that is opened (`opened`).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from broachplan.buying.coming import ComingJob, CribAhead, Presence
from broachplan.buying.piece_index import PieceIndex
from broachplan.buying.reasons import Why, why_blocked
from broachplan.buying.serving import NOTHING, HubAsked, Serving, Servings
from broachplan.planner.answer import Answer
from broachplan.planner.pairs import FinishedPair
from broachplan.planner.plan import plan
from broachplan.planner.ranking import best_found
from broachplan.planner.tried import Trial, try_hub
from broachplan.settings import Settings


class Verdict(StrEnum):
    """The verdict on a job at present."""

    READY = "ready"
    CLASH = "clash"
    BLOCKED = "blocked"


@dataclass(frozen=True, slots=True)
class Alone:
    """Whether a job could be cut if it were the only one; ``why`` not, None where it could."""

    job: ComingJob
    why: Why | None

    @property
    def possible(self) -> bool:
        """Whether there is a plan."""
        return self.why is None


class Judge:
    """Judges jobs against one crib under one shop's settings."""

    def __init__(self, stock: CribAhead, settings: Settings) -> None:
        self.stock, self.settings = stock, settings
        self.servings = Servings(PieceIndex(stock), settings)
        self._odd_ones: dict[HubAsked, tuple[tuple[str, Presence], ...]] = {}
        self._best: dict[tuple[HubAsked, frozenset[str]], FinishedPair | None] = {}
        self._whys: dict[tuple[HubAsked, frozenset[str]], Why | None] = {}

    def serving(self, job: ComingJob) -> Serving:
        """What could serve a job's hub."""
        return self.servings.of(asked_by(job))

    def off(self, job: ComingJob, days: tuple[date, ...] | None = None) -> frozenset[str]:
        """Of the pieces that could serve a job, those that may not be used on all of its days (or of other ``days``)."""
        asked, works = asked_by(job), job.works
        odd = self._odd_ones.get(asked)
        if odd is None:
            could, presence = self.servings.of(asked).could_serve, self.stock.presence
            few, many = (could, presence) if len(could) < len(presence) else (presence, could)
            odd = tuple((tag, presence[tag]) for tag in few if tag in many)
            self._odd_ones[asked] = odd
        on = days or job.days
        return frozenset(tag for tag, there in odd if there.why_not(on, works))

    def alone(self, job: ComingJob) -> Alone:
        """Whether a job has a plan by itself on its days, or why not; a started job is ready while its pieces are there."""
        if job.holds is not None:
            return Alone(job, self._gone(job))
        asked, off = asked_by(job), self.off(job)
        key = asked, off
        if key not in self._whys:
            serving = self.servings.of(asked)
            found = serving.first(off)
            self._whys[key] = why_blocked(self.trial(job)) if found is None else None
        return Alone(job, self._whys[key])

    def best_plan(self, job: ComingJob, without: frozenset[str] = NOTHING) -> FinishedPair | None:
        """The best plan of a job on its days that uses none of some pieces; None where it has none.

        Jobs that are alike, and what of ``without`` could serve them, have the same.
        """
        asked = asked_by(job)
        taken = without & self.servings.of(asked).could_serve
        key = asked, self.off(job) | taken
        if key not in self._best:
            # The best of all pieces is the best of fewer too, if they hold all that it uses.
            first = self.best_plan(job, NOTHING) if taken else None
            if first is not None and taken.isdisjoint(pieces_of(first)):
                self._best[key] = first
            else:
                tried = try_hub(self.trial(job, without))
                self._best[key] = next(iter(best_found(tried.begun, 1, tried.case)), None)
        return self._best[key]

    def opened(self, job: ComingJob, without: Iterable[str] = (), *, most_plans: int | None = 1) -> Answer:
        """A job worked out in full: its best plan, or refusals and what to make; ``without`` what serves other jobs."""
        shelf = self.trial(job, without).shelf
        return plan(job.hub, job.keyway, shelf, self.settings, press=job.press or None, most_plans=most_plans)

    def trial(self, job: ComingJob, without: Iterable[str] = ()) -> Trial:
        """A job on the shelf of its days, as the planner tries it."""
        works, presence = job.works, self.stock.presence
        reasons = {tag: there.why_not(job.days, works) for tag, there in presence.items()}
        off = {tag: why for tag, why in reasons.items() if why}
        off |= dict.fromkeys(without, "it serves another job on that day")
        shelf = self.servings.shelf(self.serving(job), off)
        return Trial(job.hub, job.keyway, shelf, self.settings, job.press or None)

    def _gone(self, job: ComingJob) -> Why | None:
        """Why a started job's pieces are not all there."""
        assert job.holds is not None
        for tag in sorted(job.holds):
            there = self.stock.presence.get(tag)
            text = there.why_not(job.days, job.works) if there else ""
            if text:
                return Why.off_shelf(tag, text)
        return None


def asked_by(job: ComingJob) -> HubAsked:
    """What a job asks of a crib, whatever its days."""
    return HubAsked(job.hub, job.keyway, job.press or None)


def pieces_of(found: FinishedPair) -> frozenset[str]:
    """The tags of broach, bushing and shims."""
    shims = (shim.tag for stack in found.stacks for shim in stack)
    return frozenset((found.pair.broach.tag, found.pair.bushing.tag, *shims))
