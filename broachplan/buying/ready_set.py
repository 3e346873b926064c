"""Which of some jobs that meet are ready together: most of them, then those that come first by rank.

Jobs that cannot all be cut are narrowed down to the fewest of them that cannot. Every ready set leaves out at least one
of each such few. The best set that does is tried; where it cannot be cut either, it gives another few, until one can.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from broachplan.buying.together import Together

_Few = frozenset[str]


def best_ready_set(ranked: Sequence[str], together: Together) -> tuple[str, ...]:
    """The numbers of the ready set, in the order of rank.

    Raises
    ------
    OutOfSteps : it was not found out within the steps.
    """
    conflicts: list[_Few] = []
    while True:
        out = _least_left_out(ranked, conflicts)
        ready = [one for one in ranked if one not in out]
        if together.all_of(frozenset(ready)) is not None:
            return tuple(ready)
        conflicts.append(fewest_that_clash(ready, together))


def in_turn(ranked: Sequence[str], together: Together) -> dict[str, frozenset[str]]:
    """Pieces for the jobs one after the other, each that has a plan beside those before it: lawful, and seldom not the best."""
    taken: dict[str, frozenset[str]] = {}
    rivals = together.rivals
    for one in ranked:
        shared = rivals.taken(one, together.started | taken)
        apart = shared.union(*(taken[other] for other in rivals.met_by(one) if other in taken))
        for without in (shared, apart):
            plan = together.plan_without(one, without)
            if plan is not None and rivals.lawful({**taken, one: plan}):
                taken[one] = plan
                break
    return taken


def fewest_that_clash(ready: Sequence[str], together: Together) -> _Few:
    """Jobs that cannot all be cut, though without any one of them the others can."""
    grown: list[str] = []
    for one in ready:
        grown.append(one)
        if together.all_of(frozenset(grown)) is None:
            break
    few = set(grown)
    for one in grown[:-1]:
        if together.all_of(frozenset(few - {one})) is None:
            few.discard(one)
    return frozenset(few)


def _least_left_out(ranked: Sequence[str], conflicts: Sequence[_Few]) -> _Few:
    """The fewest jobs with one of each conflict; of several such sets the one that leaves the earliest ranked in."""
    place = {one: at for at, one in enumerate(ranked)}
    for size in range(len(ranked) + 1):
        found = list(_hitting(frozenset(), conflicts, size))
        if found:
            return max(found, key=lambda out: sorted(place[one] for one in out))
    raise AssertionError("a job that has a plan by itself is no conflict")


def _hitting(out: _Few, conflicts: Sequence[_Few], size: int) -> Iterator[_Few]:
    missed = next((few for few in conflicts if few.isdisjoint(out)), None)
    if missed is None:
        yield out
    elif size:
        for one in sorted(missed):
            yield from _hitting(out | {one}, conflicts, size - 1)
