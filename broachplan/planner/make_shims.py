"""Which shims to cut when the drawer's stacks do not lead to the reading, or lead there in too many passes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from broachplan.lengths import Length
from broachplan.planner import bits
from broachplan.planner.answer import Make
from broachplan.planner.edges import edges
from broachplan.planner.passes import PassProblem
from broachplan.planner.rules import Case
from broachplan.planner.search import Search
from broachplan.planner.stacks import STEPS_NM, Totals, totals_of
from broachplan.standards.constants import THINNEST_SHIM
from broachplan.tooling.figures import Kind
from broachplan.tooling.pieces import Shim

THINNEST_SHIM_NM = int(THINNEST_SHIM.value)
_MOST_TRIED = 100
_MOST_CUT = 6
_MOST_SETTLED = 4


@dataclass(frozen=True, slots=True)
class Cut:
    """Shims to cut, in nm, and what each pass then takes: what is on hand in nm, and which of the new ones."""

    problem: PassProblem
    thicknesses: tuple[int, ...]
    passes: tuple[tuple[int, frozenset[int]], ...]

    def holds_with(self, which: int, thickness: int) -> bool:
        """Whether the passes still hold if one of the new shims comes out ``thickness`` nm thick."""
        sizes = [thickness if i == which else size for i, size in enumerate(self.thicknesses)]
        return self.problem.obeyed_by([known + sum(sizes[i] for i in new) for known, new in self.passes])


def free_passes(problem: PassProblem) -> int:
    """The fewest passes that any shims at all could do it in: no plan has fewer."""
    gap = problem.target.lower - problem.web_nm - problem.teeth.last_nm - problem.first_lifts_nm[1]
    return 1 if gap <= 0 else 1 + -(-gap // problem.teeth.advance_nm)


def shims_to_cut(
    problem: PassProblem, *, most_passes: int | None = None, most_new: int = _MOST_CUT
) -> Cut | None:
    """The fewest shims to add to a drawer so that the passes come out; None if no ``most_new`` were found.

    One shim at a time: the one that brings the fewest passes, or, while none brings any, the one that lets the
    passes go deepest.
    """
    if problem.first_lifts_nm[1] < 0:
        return None
    totals = problem.totals
    new: list[int] = []
    judged = problem if _comes_out(problem, totals) else problem.without_load()
    for _ in range(most_new):
        sizes = _sizes_to_try(judged, totals)
        found = _fewest(problem, replace(judged, totals=totals), sizes, new, most_passes)
        if found is not None or judged is problem:
            return found  # where stacks alone come out and the load forbids it, one shim may ease a step; more do not
        reaches = [(_depth(problem, totals.with_one_more(size)), -size) for size in sizes]
        depth, size = max(reaches, default=(-1, 0))
        if depth <= _depth(problem, totals):
            return None
        new.append(-size)
        totals = totals.with_one_more(-size)
    return None


def shim_list(cut: Cut, width: tuple[Length, Length], text: str) -> tuple[Make, ...]:
    """The shims as something to make: thickness within which the same passes hold, and the slot's widths."""
    return tuple(_shim(cut, which, width, text) for which in range(len(cut.thicknesses)))


def shim_widths(slot_width: Length, case: Case) -> tuple[Length, Length]:
    """The widths a shim for this slot may have."""
    low, high = case.bounds.shim_width(slot_width)
    return Length(max(low.nm, 1)), high


def _fewest(
    problem: PassProblem,
    judged: PassProblem,
    sizes: list[int],
    new: list[int],
    most_passes: int | None,
) -> Cut | None:
    """The first size that brings the fewest passes, load included; ``judged`` finds those worth a full search.

    ``judged`` holds the drawer with the ``new`` shims that are settled already.
    """
    outcomes: list[tuple[int, int, int]] = []
    least, unbeaten = free_passes(problem), 0
    for rank, size in enumerate(sizes):
        totals = judged.totals.with_one_more(size)
        passes = Search(replace(judged, totals=totals)).fewest_passes()
        if passes is not None and (most_passes is None or passes <= most_passes):
            outcomes.append((passes, rank, size))
            unbeaten += passes == least
        if unbeaten == _MOST_SETTLED:
            break  # the sizes after these would come after them
    for _, _, size in sorted(outcomes)[:_MOST_SETTLED]:
        cut = _settled(problem, [*new, size])
        if cut is not None and (most_passes is None or len(cut.passes) <= most_passes):
            return cut
    return None


def _settled(problem: PassProblem, new: list[int]) -> Cut | None:
    """The best passes with the new shims in the drawer, and which pass uses which; None if the load forbids it."""
    tags = [f"new {i}" for i in range(len(new))]
    shims = [Shim(tag=tag, thickness=Length(nm)) for tag, nm in zip(tags, new, strict=True)]
    totals = totals_of((*problem.totals.shims, *shims), problem.totals.stack_most, problem.totals.most_nm)
    order = Search(replace(problem, totals=totals)).best()
    if order is None:
        return None
    passes = []
    for place, lift in zip(order.places, order.lifts, strict=True):
        used = frozenset(tags.index(shim.tag) for shim in totals.stack(place) if shim in shims)
        passes.append((lift - sum(new[i] for i in used), used))
    return _rounded(Cut(problem, tuple(new), tuple(passes)))


def _comes_out(problem: PassProblem, totals: Totals) -> bool:
    return Search(replace(problem.without_load(), totals=totals)).fewest_passes() is not None


def _depth(problem: PassProblem, totals: Totals) -> int:
    """The largest total (nm) that passes can come to; -1 where not even the first is possible."""
    deepest = bits.highest(Search(replace(problem.without_load(), totals=totals)).totals_from_start())
    return totals.nm(deepest) if deepest >= 0 else -1


def _sizes_to_try(problem: PassProblem, totals: Totals) -> list[int]:
    """Thicknesses in nm that would put a stack where one is wanted, the most wanted first."""
    on_hand = (0, *sorted(set(totals.sizes)))
    sizes: dict[int, None] = {}
    for place in _wanted(Search(replace(problem, totals=totals))):
        for known in on_hand:
            size = (place - known) // totals.grain * totals.grain
            if THINNEST_SHIM_NM <= size <= totals.most_nm:
                sizes.setdefault(size)
            if len(sizes) >= _MOST_TRIED:
                return list(sizes)
    return list(sizes)


def _wanted(search: Search) -> Iterator[int]:
    """Totals (nm) worth having: on the aim, a full step past what can be reached, a step before what leads on."""
    problem, step, nm = search.problem, max(search.longest_step, 1), search.problem.totals.nm
    aim = problem.target.twice_aim // 2 - search.reading(0)
    yield aim
    yield problem.target.upper - search.reading(0)
    from_start, to_limits = search.totals_from_start(), search.totals_that_reach()
    if from_start and to_limits:
        low, high = nm(bits.highest(from_start)), nm(bits.lowest(to_limits))
        yield (low + high) // 2
        yield high - step
    if from_start:
        yield nm(bits.highest(from_start)) + step
    first = problem.first_lifts_nm[1]
    yield first
    for passes in range(1, 8):
        yield aim - passes * step
        yield first + passes * step


def _rounded(cut: Cut) -> Cut:
    """The thicknesses in whole tenths of a thou or whole micrometres, the nearer first, where the passes hold so."""
    for which, exact in enumerate(cut.thicknesses):
        near = sorted((round(exact / step) * step for step in STEPS_NM), key=lambda nm: abs(nm - exact))
        nm = next((nm for nm in near if cut.holds_with(which, nm)), exact)
        sizes = (*cut.thicknesses[:which], nm, *cut.thicknesses[which + 1 :])
        cut = replace(cut, thicknesses=sizes)
    return cut


def _shim(cut: Cut, which: int, width: tuple[Length, Length], text: str) -> Make:
    best = cut.thicknesses[which]
    limits = edges(best, THINNEST_SHIM_NM // 2, 2 * best, lambda nm: cut.holds_with(which, nm))
    middle = Length((width[0].nm + 3 * width[1].nm) // 4)
    return Make(
        Kind.SHIM,
        {"thickness": limits, "width": width},
        {"thickness": Length(best), "width": middle},
        text,
    )
