"""Whether some jobs can all be cut on their days: plans for each, no piece serving two rivals on one day.

Jobs are settled one after the other. One takes the pieces of some plan; where the others then cannot all be cut, every
other way to cut it does without one of those pieces, so that they are forbidden to it in turn. Nothing is missed: a
solution in which the job uses all of them, and more, is also one in which it uses only them.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence, Set
from dataclasses import replace
from datetime import date
from functools import cached_property

from broachplan.buying.coming import ComingJob
from broachplan.buying.fitting import FittingPair
from broachplan.buying.serving import NOTHING, Serving
from broachplan.buying.sharing import Pieces, Rivals
from broachplan.buying.shim_sets import (
    Contested,
    Packing,
    ShimColumn,
    all_matched,
    columns,
    smallest_sets,
    without,
)
from broachplan.buying.verdicts import Judge

_State = tuple[tuple[str, frozenset[str]], ...]


# Up to so many shims that several jobs could use, all their smallest sets are found first.
FEW_SHIMS = 24


class OutOfSteps(Exception):
    """It was not found out within the steps; handled in this room."""


class Together:
    """Plans for jobs that meet, found and remembered.

    ``started`` are the pieces of started jobs; ``most_steps`` bounds what is searched since `begin`.
    """

    def __init__(self, judge: Judge, jobs: Sequence[ComingJob], rivals: Rivals, most_steps: int) -> None:
        self.jobs = {job.number: job for job in jobs if job.holds is None}
        self.started = {job.number: job.holds for job in jobs if job.holds is not None}
        self.rivals = rivals
        self._serving = {number: judge.serving(job) for number, job in self.jobs.items()}
        self._off = {number: judge.off(job, loose=True) for number, job in self.jobs.items()}
        self._most_steps, self._steps = most_steps, 0
        self._fits: dict[str, list[FittingPair]] = {}
        self._could: dict[str, frozenset[str]] = {}
        self._plan: dict[tuple[str, frozenset[str]], frozenset[str] | None] = {}
        self._sets: dict[tuple[frozenset[str], _State, _State], Pieces | None] = {}
        self._judge = judge
        self._failed: set[_State] = set()
        self._cols: dict[str, list[ShimColumn]] = {}

    def serving(self, number: str) -> Serving:
        """What could serve the hub of a job."""
        return self._serving[number]

    def off(self, number: str) -> frozenset[str]:
        """What may not be used for a job on its days, whatever the others take."""
        return self._off[number]

    def may_want(self, number: str) -> frozenset[str]:
        """All pieces that could serve a job on its days, whether or not they lead to a plan."""
        return self._serving[number].pieces - self._off[number]

    def could_use(self, number: str) -> frozenset[str]:
        """Broaches and bushings of the pairs that have a plan by themselves, and the shims of their slots."""
        if number not in self._could:
            serving, fits = self._serving[number], self._fits_of(number)
            slots = {(fit.start, fit.end): fit for fit in fits}
            shims = (serving.shims(fit) for fit in slots.values())
            self._could[number] = NOTHING.union(*shims, *(fit.tags for fit in fits)) - self._off[number]
        return self._could[number]

    def all_of(
        self, numbers: Set[str], settled: Pieces | None = None, forbidden: Pieces | None = None
    ) -> Pieces | None:
        """Pieces for each of these jobs beside those that are ``settled``; None where they cannot all be cut.

        ``forbidden`` are pieces that some of them do without.

        Raises
        ------
        OutOfSteps : it was not found out within the steps.
        """
        taken = self.started | dict(settled or {})
        forbidden = {one: (forbidden or {}).get(one, NOTHING) for one in numbers}
        key = frozenset(numbers), _state(settled or {}), _state(forbidden)
        if key not in self._sets:
            self._failed = set()
            found = self._at_once(frozenset(numbers), forbidden, taken)
            if found is None and self._go_round(numbers, taken):
                if len(self._contested.tags) <= FEW_SHIMS:
                    found = self._packed(sorted(numbers), forbidden, taken)
                else:
                    found = self._settle(frozenset(numbers), forbidden, taken)
            self._sets[key] = found
        return self._sets[key]

    # -- one job -----------------------------------------------------------------------------------------------

    def plan_without(self, number: str, without: frozenset[str]) -> frozenset[str] | None:
        """Pieces of some plan of a job that uses none of ``without``; None where there is none."""
        serving = self._serving[number]
        off = (without & serving.pieces) | self._off[number]
        key = number, off
        if key not in self._plan:
            self._plan[key] = serving.pieces_of_any_plan(off)
        return self._plan[key]

    def _fits_of(self, number: str) -> list[FittingPair]:
        """The pairs that have a plan while nobody else takes anything: no other has one later."""
        if number not in self._fits:
            self._fits[number] = list(self._serving[number].plannable(self._off[number]))
        return self._fits[number]

    # -- all of them -------------------------------------------------------------------------------------------

    def _at_once(self, numbers: frozenset[str], forbidden: Pieces, taken: Pieces) -> Pieces | None:
        """The same where a plan for each, one after the other, does it: most often."""
        plans = self._plans(numbers, {one: self.rivals.taken(one, taken) | forbidden[one] for one in numbers})
        return self._with_all(plans, taken) if plans is not None and self.rivals.apart(plans) else None

    def _with_all(self, plans: Pieces, taken: Pieces) -> Pieces:
        everything = {**taken, **plans}
        return {one: everything[one] for one in everything if one not in self.started}

    def _settle(
        self, undecided: frozenset[str], forbidden: Mapping[str, frozenset[str]], taken: Pieces
    ) -> Pieces | None:
        self.step()
        without = {one: forbidden[one] | self.rivals.taken(one, taken) for one in undecided}
        state = tuple((one, without[one] & self._serving[one].pieces) for one in sorted(undecided))
        if state in self._failed:
            return None
        plans = self._plans(undecided, without)
        found = None
        if plans is not None:
            if self.rivals.apart(plans):
                return self._with_all(plans, taken)
            found = self._branch(undecided, forbidden, taken, plans)
        if found is None:
            self._failed.add(state)
        return found

    def _plans(
        self, undecided: Set[str], without: Mapping[str, frozenset[str]]
    ) -> dict[str, frozenset[str]] | None:
        """A plan for each by itself, away from what others of them take where it can be; None where one has none."""
        plans: dict[str, frozenset[str]] = {}
        for one in sorted(undecided, key=lambda each: (len(self._serving[each].fits), each)):
            plan = self.plan_without(one, without[one])
            if plan is None:
                return None
            near = self.rivals.taken(one, plans)
            if not near.isdisjoint(plan):
                plan = self.plan_without(one, without[one] | near) or plan
            plans[one] = plan
        return plans

    def _branch(
        self,
        undecided: frozenset[str],
        forbidden: Mapping[str, frozenset[str]],
        taken: Pieces,
        plans: Pieces,
    ) -> Pieces | None:
        one = self._most_wanted(undecided, plans)
        left = undecided - {one}
        found = self._settle(left, forbidden, {**taken, one: plans[one]})
        if found is not None:
            return found
        others = (other for other in self.rivals.of(one) if other in left)
        wanted = NOTHING.union(*(self.could_use(other) for other in others))
        for tag in sorted(plans[one] & wanted):
            found = self._settle(undecided, {**forbidden, one: forbidden[one] | {tag}}, taken)
            if found is not None:
                return found
        return None

    def _most_wanted(self, undecided: Set[str], plans: Pieces) -> str:
        """Of the jobs whose plans share a piece with another's, the one with the fewest pairs."""
        in_conflict = [one for one in undecided if not self.rivals.taken(one, plans).isdisjoint(plans[one])]
        return min(in_conflict, key=lambda one: (len(self._fits_of(one)), one))

    # -- scarce shims ------------------------------------------------------------------------------------------

    def begin(self) -> None:
        """Count the steps anew."""
        self._steps = 0

    def step(self) -> None:
        """Count one more.

        Raises
        ------
        OutOfSteps : it was one too many.
        """
        self._steps += 1
        if self._steps > self._most_steps:
            raise OutOfSteps

    @cached_property
    def _contested(self) -> Contested:
        """The shims that two rivals could use."""
        shims = {one: self._shims_of(one) for one in self.jobs}
        tags = NOTHING.union(
            *(shims[one] & shims[other] for one in shims for other in self.rivals.of(one) if other in shims)
        )
        return Contested({tag: self._judge.servings.thickness_nm(tag) for tag in tags})

    def _shims_of(self, number: str) -> frozenset[str]:
        """The shims of the slots of all pairs that have a plan."""
        return self.could_use(number) - {tag for fit in self._fits_of(number) for tag in fit.tags}

    def _packed(
        self, numbers: Sequence[str], forbidden: Mapping[str, frozenset[str]], taken: Pieces
    ) -> Pieces | None:
        """The same by columns: all smallest sets of the contested shims of each pair of each job."""
        shims = self._contested
        gone = {one: self.rivals.taken(one, taken) | forbidden[one] for one in numbers}
        choices = {one: without(self._columns(one), gone[one], shims) for one in numbers}
        rivals = {one: frozenset(self.rivals.of(one)) for one in numbers}
        found = Packing(choices, shims, rivals, self.step).found()
        if found is None:
            return None
        plans = {}
        for one, (pair, bits) in found.items():
            serving = self._serving[one]
            (fit,) = (fit for fit in self._fits_of(one) if fit.tags == pair)
            off = self._off[one] | ((gone[one] | (shims.tags - shims.tags_of(bits))) & serving.pieces)
            plan = serving.pieces_of_plan(fit, off)
            assert plan is not None
            plans[one] = plan
        return self._with_all(plans, taken)

    def _columns(self, one: str) -> list[ShimColumn]:
        """All of a job while nobody else takes anything; pairs that differ in their tags alone are looked at once."""
        if one not in self._cols:
            serving, off, shims = self._serving[one], self._off[one], self._contested
            alike: dict[object, list[frozenset[str]]] = {}
            sets = {}
            for fit in self._fits_of(one):
                figures = fit.tags if fit.limited else _figures(fit)
                if figures not in alike:
                    everything = shims.tags & serving.shims(fit) - off
                    stacks = serving.last_stacks(fit, off)
                    alike[figures] = smallest_sets(everything, self._plan_on(one, fit), stacks)
                sets[fit.tags] = alike[figures]
            self._cols[one] = columns(sets, shims)
        return self._cols[one]

    def _plan_on(self, one: str, fit: FittingPair) -> Callable[[frozenset[str]], frozenset[str] | None]:
        serving, contested, off = self._serving[one], self._contested.tags, self._off[one]

        def plan_on(shims: frozenset[str]) -> frozenset[str] | None:
            self.step()
            plan = serving.pieces_of_plan(fit, off | (contested & serving.shims(fit)) - shims)
            return None if plan is None else plan & contested

        return plan_on

    # -- a bound -----------------------------------------------------------------------------------------------

    def _go_round(self, numbers: Set[str], taken: Pieces) -> bool:
        """Whether broaches alone, and bushings alone, go round on every day among jobs that share with no other."""
        by_day: dict[date, list[str]] = {}
        for one in numbers:
            if self.rivals.of(one) == self.rivals.met_by(one):
                for day in self.jobs[one].days:
                    by_day.setdefault(day, []).append(one)
        gone = {one: self.rivals.taken(one, taken) for one in numbers}
        for side in (0, 1):
            choices = {one: {fit.tags[side] for fit in self._fits_of(one)} - gone[one] for one in numbers}
            if not all(all_matched({one: choices[one] for one in some}) for some in by_day.values()):
                return False
        return True


def _figures(fit: FittingPair) -> object:
    """What is the same for pairs whose pieces differ in their tags alone."""
    return replace(fit.broach, tag="ANY"), replace(fit.bushing, tag="ANY"), fit.start, fit.end


def _state(pieces: Pieces) -> _State:
    return tuple(sorted((number, tags) for number, tags in pieces.items() if tags))
