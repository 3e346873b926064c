"""A verdict on each coming job by itself, against the crib as it will be on every one of its days.

Jobs are alike where hub, keyway, press and the usable pieces that could serve them are; those are judged once. Only
whether a plan exists is asked: the best plan, refusals and what to make are for a job that is opened (`opened`).
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date, timedelta
from enum import StrEnum
from typing import NamedTuple

from broachplan.buying.coming import ComingJob
from broachplan.buying.limits import NO_LIMITS, Trust
from broachplan.buying.piece_index import PieceIndex
from broachplan.buying.reasons import Why, why_blocked
from broachplan.buying.serving import NOTHING, HubAsked, Serving, Servings, nothing_before
from broachplan.crib.ahead import Expected, PieceState, Snapshot, ahead
from broachplan.crib.loans import Asker
from broachplan.crib.sharing import NOTHING_SHARED, Sharing
from broachplan.keyways.keyway import Keyway
from broachplan.planner.answer import Answer, Plan
from broachplan.planner.pairs import FinishedPair
from broachplan.planner.plan import plan
from broachplan.planner.ranking import best_found
from broachplan.planner.tried import Trial, try_hub
from broachplan.planner.worked_out import plan_of
from broachplan.settings import Settings
from broachplan.tooling.hub import Hub


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


class _Odd(NamedTuple):
    """Pieces that could serve a hub: those that are off on all days and for all jobs, and those that may be there."""

    gone: frozenset[str]
    others: tuple[tuple[str, PieceState], ...]


class Judge:
    """Judges jobs against one crib under one shop's settings.

    ``today`` is the day on which it is asked: what should have been back before it is overdue, and not counted on.
    ``sharing`` are the marks between the jobs. ``loose`` is everywhere whether a job may use, too, what is held for any
    job of its queue: then others must be found to use it that join the two. ``trust`` says how pieces with limits are
    counted on: for the best plan of a job, and for why it has none, they are not there. ``before_each``: see `Servings`.
    """

    def __init__(
        self,
        crib: Snapshot,
        settings: Settings,
        today: date | None = None,
        sharing: Sharing = NOTHING_SHARED,
        trust: Trust = NO_LIMITS,
        before_each: Callable[[], None] = nothing_before,
    ) -> None:
        self.settings, self.today, self.sharing, self.trust = settings, today, sharing, trust
        self._loose = sharing.loose()
        self.servings = Servings(PieceIndex(crib.shelf), settings, trust, before_each)
        self._states = dict(crib.states)
        self._serving: dict[tuple[int, int, str | None], tuple[Hub, Keyway, Serving]] = {}
        self._odd_ones: dict[Serving, _Odd] = {}
        self._best: dict[tuple[Serving, frozenset[str]], FinishedPair | None] = {}
        self._whys: dict[Hashable, Why] = {}
        self._changing: dict[Serving, tuple[str, ...]] = {}

    def serving(self, job: ComingJob) -> Serving:
        """What could serve a job's hub."""
        # Jobs of one hub share its object, and an object is found much sooner than its figures are compared.
        key = id(job.hub), id(job.keyway), job.press
        found = self._serving.get(key)
        if found is None:
            found = job.hub, job.keyway, self.servings.of(asked_by(job))
            self._serving[key] = found
        return found[2]

    def users(self, tag: str, day: date) -> tuple[str, ...]:
        """The work for which a piece is held on a day, and the started jobs that use it."""
        state = self._states.get(tag)
        held_for = state.held.get(day) if state else None
        users = self.sharing.users(tag, day)
        return (held_for, *users) if held_for else users

    def off(
        self, job: ComingJob, days: tuple[date, ...] | None = None, *, loose: bool = False
    ) -> frozenset[str]:
        """Of the pieces that could serve a job, those that may not be used on all of its days (or of other ``days``)."""
        serving, asker = self.serving(job), self._asker(job, loose=loose)
        odd, on = self._odd_ones.get(serving), days or job.days
        if odd is None:
            odd = self._odd_ones[serving] = self._odd(serving, on)
        return odd.gone.union(
            tag for tag, state in odd.others if ahead(state, on, tag=tag, today=self.today, asker=asker).off
        )

    def _odd(self, serving: Serving, on: tuple[date, ...]) -> _Odd:
        """The pieces that could serve a hub and are not simply there; ``on`` are any days."""
        self._states |= self._cut_for(serving)
        could, states = serving.could_serve, self._states
        few, many = (could, states) if len(could) < len(states) else (states, could)
        gone, others = set(), []
        for tag in few:
            if tag in many:
                state = states[tag]
                if not state.is_alike_always(self.today):
                    others.append((tag, state))
                elif ahead(state, on, today=self.today).off:
                    gone.add(tag)
        return _Odd(frozenset(gone), tuple(others))

    def _cut_for(self, serving: Serving) -> dict[str, PieceState]:
        """When the shims that are cut to measure come: so many days after the pieces that they are cut for."""
        terms, found = self.trust.cut, {}
        for fit in serving.fits:
            if fit.cut and terms is not None:
                bought = (self._states[tag].ordered for tag in fit.tags if tag in self._states)
                there = max((day for day in bought if day is not None), default=self.today)
                if there is not None:
                    found[fit.cut] = PieceState(ordered=there + timedelta(terms.days))
        return found

    def alone(self, job: ComingJob) -> Alone:
        """Whether a job has a plan by itself on its days, or why not; a started job is ready while its pieces are there."""
        if job.holds is not None:
            return Alone(job, self._gone(job))
        if self.possible_on(job, job.days):
            return Alone(job, None)
        alike = self.alike(job)
        if alike not in self._whys:
            self._whys[alike] = why_blocked(self.trial(job))
        return Alone(job, self._whys[alike])

    def alike(self, job: ComingJob) -> Hashable:
        """What is the same for jobs of one hub that see the crib alike: which pieces are off for them and why, which are awaited."""
        serving = self.serving(job)
        if serving not in self._changing:
            shelf = self.servings.index.shelf(serving.case.bounds)
            pieces = (*shelf.broaches, *shelf.bushings, *shelf.shims, *shelf.presses)
            states = ((piece.tag, self._states.get(piece.tag)) for piece in pieces)
            self._changing[serving] = tuple(
                tag for tag, state in states if state and not state.is_alike_always(self.today)
            )
        return serving, tuple((tag, self._ahead(tag, job)) for tag in self._changing[serving])

    def may_be_possible(self, job: ComingJob) -> bool:
        """Whether a job has a plan on its days if others use what it would share with them."""
        return self.possible_on(job, job.days, loose=True)

    def possible_on(
        self,
        job: ComingJob,
        days: tuple[date, ...],
        without: frozenset[str] = NOTHING,
        *,
        loose: bool = False,
    ) -> bool:
        """Whether a job has a plan on some days with none of ``without``."""
        serving = self.serving(job)
        off = self.off(job, days, loose=loose) | (without & serving.pieces)
        return serving.pieces_of_any_plan(off) is not None

    def waits_for(self, job: ComingJob, pieces: frozenset[str]) -> tuple[str, ...]:
        """Of the pieces of a plan those that are not there yet: due back, or on order."""
        return tuple(
            tag for tag in sorted(pieces & self._states.keys()) if self._ahead(tag, job, loose=True).awaited
        )

    def known_days(self) -> Iterator[date]:
        """The days on which something comes, or is held."""
        for state in self._states.values():
            yield from state.held
            if state.loan is not None and state.loan.due is not None:
                yield state.loan.due
            if state.ordered is not None:
                yield state.ordered

    def best_plan(
        self, job: ComingJob, without: frozenset[str] = NOTHING, *, loose: bool = False
    ) -> FinishedPair | None:
        """The best plan of a job on its days that uses none of some pieces; None where it has none.

        Jobs that are alike, and what of ``without`` could serve them, have the same.
        """
        serving = self.serving(job)
        taken = without & serving.could_serve
        key = serving, self.off(job, loose=loose) | taken
        if key not in self._best:
            # The best of all pieces is the best of fewer too, if they hold all that it uses.
            first = self.best_plan(job, NOTHING, loose=loose) if taken else None
            if first is not None and taken.isdisjoint(pieces_of(first)):
                self._best[key] = first
            else:
                self._best[key] = self._best_of(serving, key[1], job, without, loose=loose)
        return self._best[key]

    def _best_of(
        self, serving: Serving, off: frozenset[str], job: ComingJob, without: frozenset[str], *, loose: bool
    ) -> FinishedPair | None:
        """What is known of pairs already serves the best plan too; where pieces have limits they are asked as they are."""
        if not self.servings.trust.limits:
            return serving.best(off)
        tried = try_hub(self.trial(job, without, loose=loose))
        return next(iter(best_found(tried.begun, 1, tried.case)), None)

    def opened(self, job: ComingJob, without: Iterable[str] = (), *, most_plans: int | None = 1) -> Answer:
        """A job worked out in full: its best plan, or refusals and what to make; ``without`` what serves other jobs."""
        shelf = self.trial(job, without).shelf
        return plan(job.hub, job.keyway, shelf, self.settings, press=job.press or None, most_plans=most_plans)

    def plan_with(self, job: ComingJob, pieces: frozenset[str]) -> Plan | None:
        """The best plan of a job on no other pieces than these."""
        trial = self.trial(job, loose=True)
        shelf = trial.shelf
        only = replace(
            shelf,
            broaches=tuple(one for one in shelf.broaches if one.tag in pieces),
            bushings=tuple(one for one in shelf.bushings if one.tag in pieces),
            shims=tuple(one for one in shelf.shims if one.tag in pieces),
        )
        tried = try_hub(replace(trial, shelf=only))
        return next((plan_of(one, tried.case) for one in best_found(tried.begun, 1, tried.case)), None)

    def _asker(self, job: ComingJob, *, loose: bool = False) -> Asker:
        return Asker(work=job.number, sharing=self._loose if loose else self.sharing)

    def _ahead(self, tag: str, job: ComingJob, *, loose: bool = False) -> Expected:
        asker = self._asker(job, loose=loose)
        return ahead(self._states[tag], job.days, tag=tag, today=self.today, asker=asker)

    def _gone(self, job: ComingJob) -> Why | None:
        """Why a started job's pieces are not all there."""
        for tag in sorted((job.holds or NOTHING) & self._states.keys()):
            found = self._ahead(tag, job)
            if found.off:
                return Why.off_shelf(tag, found.off)
        return None

    def trial(self, job: ComingJob, without: Iterable[str] = (), *, loose: bool = False) -> Trial:
        """A job on the shelf of its days, as the planner tries it."""
        shelf = self.servings.index.shelf(self.serving(job).case.bounds)
        pieces = (*shelf.broaches, *shelf.bushings, *shelf.shims, *shelf.presses)
        found = {
            piece.tag: self._ahead(piece.tag, job, loose=loose)
            for piece in pieces
            if piece.tag in self._states
        }
        off = {tag: each.off for tag, each in found.items() if each.off}
        off |= dict.fromkeys(self.trust.limits, "its figures are not measured yet")
        off |= dict.fromkeys(without, "it serves another job on that day")
        waits = {tag: each.awaited for tag, each in found.items() if tag not in off and each.awaited}
        shelf = replace(shelf, off=off, awaited=waits)
        return Trial(job.hub, job.keyway, shelf, self.settings, job.press or None)


def asked_by(job: ComingJob) -> HubAsked:
    """What a job asks of a crib, whatever its days."""
    return HubAsked(job.hub, job.keyway, job.press or None)


def pieces_of(found: FinishedPair) -> frozenset[str]:
    """The tags of broach, bushing and shims."""
    shims = (shim.tag for stack in found.stacks for shim in stack)
    return frozenset((found.pair.broach.tag, found.pair.bushing.tag, *shims))
