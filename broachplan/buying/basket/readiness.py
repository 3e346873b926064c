"""Whether a basket readies some jobs: plans for all of them on the crib and what is bought, or jobs that cannot all be cut."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from broachplan.buying.assignment import Assignment
from broachplan.buying.basket.supply import Alike, Supply
from broachplan.buying.by_ways import lawful_plans
from broachplan.buying.coming import ComingJob
from broachplan.buying.offered import Stocked
from broachplan.buying.ready_set import fewest_that_clash
from broachplan.buying.sharing import Pieces, Rivals
from broachplan.buying.together import OutOfSteps, Together
from broachplan.buying.verdicts import Judge, Verdict
from broachplan.crib.holds import work_key

Units = Mapping[str, int]

# After so many the programme learns more of the jobs, rather than the question asked to its end.
_MOST_STEPS = 5_000


@dataclass(frozen=True, slots=True)
class Failing:
    """Jobs that a basket does not ready.

    ``alone``: each of them fails by itself. Otherwise they fail together; ``without`` are the jobs that would have to be
    cut too, so that marks join some of these: without them no basket of these pieces readies exactly these jobs.
    ``unsure``: it was not found out whether they fail. ``more`` are others that fail, on other days or with other pieces.
    """

    jobs: tuple[str, ...]
    alone: bool = False
    without: tuple[str, ...] | None = None
    unsure: bool = False
    more: tuple[Failing, ...] = ()


@dataclass(frozen=True, slots=True)
class Hint:
    """How a job may be cut: with pieces that are ``at_hand``, and with so many of others that are alike."""

    at_hand: frozenset[str]
    others: Mapping[Alike, int]


class Readiness:
    """Asks of baskets what they ready, beginning with the plans that the jobs have as things are.

    Parameters
    ----------
    numbers : the jobs that it may be asked about; others use nothing.

    Raises
    ------
    OutOfSteps : from each question, where it was not found out within the steps.
    OutOfTime : from each question, where the time is over.
    """

    def __init__(
        self,
        assignment: Assignment,
        numbers: Iterable[str],
        supply: Supply,
        most_steps: int = _MOST_STEPS,
    ) -> None:
        asked = set(numbers)
        ready = {one.job.number: one.pieces for one in assignment.judged if one.verdict is Verdict.READY}
        self.supply = supply
        self.started = {
            one.job.number
            for one in assignment.judged
            if one.job.holds is not None and one.verdict is Verdict.READY
        }
        self.jobs = {
            one.job.number: one.job
            for one in assignment.judged
            if one.job.number in asked or one.job.number in self.started
        }
        self.rivals = Rivals(self.jobs.values(), supply.judge.sharing, supply.judge.users)
        self._now = {one: pieces for one, pieces in ready.items() if one in self.jobs}
        self._most_steps = most_steps
        self._plans: dict[tuple[tuple[str, ...], tuple[tuple[str, int], ...]], Pieces] = {}
        self._wants: dict[Judge, dict[str, frozenset[str]]] = {}
        self._bought: dict[tuple[tuple[str, int], ...], tuple[Stocked, Judge]] = {}

    def bought(self, basket: Units) -> tuple[Stocked, Judge]:
        """The crib beside a basket, and who judges jobs by it."""
        key = _key(basket)
        if key not in self._bought:
            self._bought[key] = self.supply.with_units(dict(key))
        return self._bought[key]

    def judge(self, basket: Units) -> Judge:
        """Who judges jobs by the crib beside a basket."""
        return self.bought(basket)[1]

    def failing(
        self, numbers: Sequence[str], basket: Units, hints: Mapping[str, Hint] | None = None
    ) -> Failing | None:
        """Of jobs in the order of rank some that the basket does not ready; None where it readies all of them.

        Parameters
        ----------
        hints : how some of them may be cut beside each other; tried first.
        """
        found = self._found(numbers, basket, hints or {})
        return found if isinstance(found, Failing) else None

    def plans(self, numbers: Sequence[str], basket: Units) -> Pieces:
        """Pieces for each of these jobs, which the basket readies, and for each started one."""
        key = tuple(numbers), _key(basket)
        if key not in self._plans and self._now.keys() >= {*numbers}:
            kept = self._kept(numbers)
            if self.rivals.lawful(kept):
                return kept
        found = self._plans.get(key) or self._found(numbers, basket, {})
        assert not isinstance(found, Failing)
        return found

    def _found(self, numbers: Sequence[str], basket: Units, hints: Mapping[str, Hint]) -> Pieces | Failing:
        found = self._tried(numbers, basket, hints)
        if not isinstance(found, Failing):
            self._plans[tuple(numbers), _key(basket)] = found
        return found

    def _tried(self, numbers: Sequence[str], basket: Units, hints: Mapping[str, Hint]) -> Pieces | Failing:
        self.supply.check()
        stock, judge = self.bought(basket)
        waiting = [one for one in numbers if one not in self._now]
        alone = tuple(one for one in waiting if not judge.may_be_possible(self.jobs[one]))
        if alone:
            return Failing(alone, alone=True)
        return (
            self._beside(numbers, waiting, judge)
            or (self._as_hinted(numbers, hints, stock, judge) if hints else None)
            or self._anew(numbers, judge)
        )

    def _as_hinted(
        self, numbers: Sequence[str], hints: Mapping[str, Hint], stock: Stocked, judge: Judge
    ) -> Pieces | None:
        """The same where jobs are cut as they may be, and the others keep their pieces."""
        plans = {one: pieces for one, pieces in self._kept(numbers).items() if one not in hints}
        for one in (number for number in numbers if number not in plans):
            if one not in hints:
                return None
            serving, hint = judge.serving(self.jobs[one]), hints[one]
            taken = self.rivals.taken(one, plans)
            off = judge.off(self.jobs[one], loose=True) | taken
            left = Counter(hint.others)
            for tag in sorted(serving.pieces - hint.at_hand - off):
                alike = self.supply.alike_of(serving, tag, stock)
                left[alike] -= 1
                if left[alike] < 0:
                    off |= {tag}
            plan = serving.pieces_of_any_plan(off)
            if plan is None:
                return None
            plans[one] = plan
        return plans if self.rivals.lawful(plans) else None

    def _kept(self, numbers: Sequence[str]) -> dict[str, frozenset[str]]:
        return {one: self._now[one] for one in (*numbers, *self.started) if one in self._now}

    def _beside(self, numbers: Sequence[str], waiting: Sequence[str], judge: Judge) -> Pieces | None:
        """The same where the jobs that are ready keep their pieces and the others find theirs in turn: most often."""
        plans = self._kept(numbers)
        for one in waiting:
            taken = (plans[other] for other in self.rivals.met_by(one) if other in plans)
            plan = judge.serving(self.jobs[one]).pieces_of_any_plan(judge.off(self.jobs[one]).union(*taken))
            if plan is None:
                return None
            plans[one] = plan
        return plans if self.rivals.lawful(plans) else None

    def _anew(self, numbers: Sequence[str], judge: Judge) -> Pieces | Failing:
        """The same with the jobs of each group that may change settled together."""
        plans, seen, failing = self._kept(numbers), set[str](), list[Failing]()
        for one in numbers:
            if one in seen or (one in plans and self._keeps(one, plans)):
                continue
            group = self.group([one], numbers, judge)
            seen.update(job.number for job in group)
            found = self._together(group, judge, numbers)
            if isinstance(found, Failing):
                failing.append(found)
            else:
                plans.update(found)
        return replace(failing[0], more=tuple(failing[1:])) if failing else plans

    def _keeps(self, number: str, plans: Pieces) -> bool:
        """Whether a job that is ready as things are may keep its pieces, whoever else uses them."""
        near = {other: plans[other] for other in self.rivals.met_by(number) if other in plans}
        return self.rivals.lawful({number: plans[number]} | near)

    def _together(self, group: Sequence[ComingJob], judge: Judge, numbers: Sequence[str]) -> Pieces | Failing:
        together = Together(judge, group, self.rivals, self._most_steps)
        ranked = [job.number for job in group if job.holds is None]
        try:
            found = together.all_of(frozenset(ranked))
        except OutOfSteps:
            return Failing(tuple(ranked), unsure=True)
        if found is None:
            try:
                return Failing(tuple(sorted(fewest_that_clash(ranked, together))))
            except OutOfSteps:
                return Failing(tuple(ranked))
        if self.rivals.lawful({**self._kept(tuple(together.started)), **found}):
            return found
        lawful = lawful_plans(ranked, together, judge)
        if lawful is not None:
            return lawful
        joined = frozenset().union(*(judge.sharing.queue(one) for one in ranked))
        out = (one for one in sorted(self.jobs.keys() - {*numbers, *self.started}) if work_key(one) in joined)
        return Failing(tuple(ranked), without=tuple(out))

    def group(self, first: Iterable[str], numbers: Iterable[str], judge: Judge) -> list[ComingJob]:
        """The jobs that are to be settled together with some, of these and the started ones; by rank."""
        every, found, new = {*numbers, *self.started}, set(first), list(first)
        wants = {one: self.wants(one, judge) for one in new}
        while new:
            one = new.pop()
            for other in self.rivals.met_by(one):
                if other in every and other not in found:
                    wants[other] = self.wants(other, judge)
                    if not wants[other].isdisjoint(wants[one]):
                        found.add(other)
                        new.append(other)
        return sorted((self.jobs[one] for one in found), key=lambda job: job.rank)

    def wants(self, number: str, judge: Judge) -> frozenset[str]:
        """The pieces that could serve a job on its days; of a started one those that it has."""
        job = self.jobs[number]
        if job.holds is not None:
            return job.holds
        found = self._wants.setdefault(judge, {})
        if number not in found:
            found[number] = judge.serving(job).pieces - judge.off(job, loose=True)
        return found[number]


def _key(basket: Units) -> tuple[tuple[str, int], ...]:
    return tuple(sorted((name, units) for name, units in basket.items() if units))
