"""Whether some jobs can all be cut on their days: plans for each, no piece serving two of them on one day.

Jobs are settled one after the other. One takes the pieces of some plan; where the others then cannot all be cut, every
other way to cut it does without one of those pieces, so that they are forbidden to it in turn. Nothing is missed: a
solution in which the job uses all of them, and more, is also one in which it uses only them.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence, Set
from datetime import date

from broachplan.buying.coming import ComingJob
from broachplan.buying.serving import FittingPair, Serving
from broachplan.buying.sharing import NOTHING, Pieces, Rivals
from broachplan.buying.verdicts import Judge

_State = tuple[tuple[str, frozenset[str]], ...]


class OutOfSteps(Exception):
    """It was not found out within the steps; handled in this room."""


class Together:
    """Plans for jobs that meet, found and remembered.

    ``started`` are the pieces of started jobs; ``most_steps`` bounds the search of one set of jobs.
    """

    def __init__(self, judge: Judge, jobs: Sequence[ComingJob], rivals: Rivals, most_steps: int) -> None:
        self.jobs = {job.number: job for job in jobs if job.holds is None}
        self.started = {job.number: job.holds for job in jobs if job.holds is not None}
        self.rivals = rivals
        self._serving = {number: judge.serving(job) for number, job in self.jobs.items()}
        self._off = {number: judge.off(job) for number, job in self.jobs.items()}
        self._most_steps, self._steps = most_steps, 0
        self._fits: dict[str, list[FittingPair]] = {}
        self._could: dict[str, frozenset[str]] = {}
        self._plan: dict[tuple[str, frozenset[str]], frozenset[str] | None] = {}
        self._sets: dict[tuple[frozenset[str], _State], Pieces | None] = {}
        self._failed: set[_State] = set()

    def serving(self, number: str) -> Serving:
        """What could serve the hub of a job."""
        return self._serving[number]

    def off(self, number: str) -> frozenset[str]:
        """What may not be used for a job on its days, whatever the others take."""
        return self._off[number]

    def could_use(self, number: str) -> frozenset[str]:
        """Broaches and bushings of the pairs that have a plan by themselves, and the shims of their slots."""
        if number not in self._could:
            serving, fits = self._serving[number], self._fits_of(number)
            slots = {(fit.start, fit.end): fit for fit in fits}
            shims = (serving.shims(fit) for fit in slots.values())
            self._could[number] = NOTHING.union(*shims, *(fit.tags for fit in fits)) - self._off[number]
        return self._could[number]

    def all_of(self, numbers: Set[str], settled: Pieces | None = None) -> Pieces | None:
        """Pieces for each of these jobs beside those that are ``settled``; None where they cannot all be cut.

        Raises
        ------
        OutOfSteps : it was not found out within the steps.
        """
        taken = self.started | dict(settled or {})
        key = frozenset(numbers), tuple(sorted((settled or {}).items()))
        if key not in self._sets:
            self._failed, self._steps = set(), 0
            found = None
            if self._go_round(numbers, taken):
                found = self._settle(frozenset(numbers), dict.fromkeys(numbers, NOTHING), taken)
            self._sets[key] = found
        return self._sets[key]

    # -- one job -----------------------------------------------------------------------------------------------

    def plan_without(self, number: str, without: frozenset[str]) -> frozenset[str] | None:
        """Pieces of some plan of a job that uses none of ``without``; None where there is none."""
        serving = self._serving[number]
        off = (without & serving.pieces) | self._off[number]
        key = number, off
        if key not in self._plan:
            fits = (fit for fit in self._fits_of(number) if off.isdisjoint(fit.tags))
            plans = (serving.pieces_of_a_plan(fit, off) for fit in fits)
            self._plan[key] = next((plan for plan in plans if plan is not None), None)
        return self._plan[key]

    def _fits_of(self, number: str) -> list[FittingPair]:
        """The pairs that have a plan while nobody else takes anything: no other has one later."""
        if number not in self._fits:
            self._fits[number] = list(self._serving[number].plannable(self._off[number]))
        return self._fits[number]

    # -- all of them -------------------------------------------------------------------------------------------

    def _settle(
        self, undecided: frozenset[str], forbidden: Mapping[str, frozenset[str]], taken: Pieces
    ) -> Pieces | None:
        self._steps += 1
        if self._steps > self._most_steps:
            raise OutOfSteps
        without = {one: forbidden[one] | self.rivals.taken(one, taken) for one in undecided}
        state = tuple((one, without[one] & self._serving[one].pieces) for one in sorted(undecided))
        if state in self._failed:
            return None
        plans = self._plans(undecided, without)
        found = None
        if plans is not None:
            if self.rivals.lawful(plans):
                everything = {**taken, **plans}
                return {one: everything[one] for one in everything if one not in self.started}
            found = self._branch(undecided, forbidden, taken, plans)
        if found is None:
            self._failed.add(state)
        return found

    def _plans(
        self, undecided: Set[str], without: Mapping[str, frozenset[str]]
    ) -> dict[str, frozenset[str]] | None:
        """A plan for each by itself, away from what others of them take where it can be; None where one has none."""
        plans: dict[str, frozenset[str]] = {}
        for one in sorted(undecided, key=lambda each: (len(self._fits_of(each)), each)):
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

    # -- a bound -----------------------------------------------------------------------------------------------

    def _go_round(self, numbers: Set[str], taken: Pieces) -> bool:
        """Whether broaches alone, and bushings alone, go round on every day among jobs that do not follow another."""
        leaders = {job.after for job in self.jobs.values()}
        by_day: dict[date, list[str]] = {}
        for one in numbers:
            if self.jobs[one].after is None and one not in leaders:
                for day in self.jobs[one].days:
                    by_day.setdefault(day, []).append(one)
        gone = {one: self.rivals.taken(one, taken) for one in numbers}
        for side in (0, 1):
            choices = {one: {fit.tags[side] for fit in self._fits_of(one)} - gone[one] for one in numbers}
            if not all(all_matched({one: choices[one] for one in some}) for some in by_day.values()):
                return False
        return True


def all_matched(choices: Mapping[str, Set[str]]) -> bool:
    """Whether each can have one of its choices, no two of them the same (augmenting paths)."""
    owner: dict[str, str] = {}

    def give(one: str, seen: set[str]) -> bool:
        for tag in choices[one]:
            if tag not in seen:
                seen.add(tag)
                if tag not in owner or give(owner[tag], seen):
                    owner[tag] = one
                    return True
        return False

    return all(give(one, set()) for one in choices)
