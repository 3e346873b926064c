"""Which shim to cut when the drawer's stacks do not lead to the reading, or lead there in too many passes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from broachplan.lengths import NM_PER_INCH, Length
from broachplan.planner import bits
from broachplan.planner.answer import Make
from broachplan.planner.edges import edges
from broachplan.planner.rules import Case
from broachplan.planner.search import PassOrder, PassProblem, Search
from broachplan.planner.stacks import Totals
from broachplan.tooling.figures import Kind

# Thinner stock is foil and does not lie flat: common practice, no source.
_THINNEST_NM = NM_PER_INCH * 2 // 1000
_MOST_TRIED = 160


@dataclass(frozen=True, slots=True)
class OneMore:
    """A drawer with one more shim of ``thickness`` nm, and what each pass then takes: (shims on hand in nm, new ones)."""

    thickness: int
    passes: tuple[tuple[int, int], ...]

    def lifts(self, thickness: int) -> list[int]:
        """The totals pass by pass if the new shim comes out ``thickness`` thick."""
        return [known + new * thickness for known, new in self.passes]


def free_passes(problem: PassProblem) -> int:
    """The fewest passes that any shims at all could do it in: no plan has fewer."""
    search = Search(problem)
    _, first = search.first_totals
    unit = problem.totals.unit
    last = problem.target.lower - search.reading(0)
    gap = last - (first + 1) * unit + 1
    return 1 if gap <= 0 else 1 + -(-gap // problem.teeth.advance_nm)


def one_shim(problem: PassProblem, stack_most: int, most_passes: int | None = None) -> OneMore | None:
    """One more shim with which the passes come out, in as few as one shim can bring; None if none was found."""
    problem = _finer(problem)
    best: tuple[int, OneMore] | None = None
    for size in _sizes_to_try(problem):
        extended = replace(problem, totals=problem.totals.with_one_more(size, stack_most))
        passes = Search(extended.without_load()).fewest_passes()
        if passes is None or (most_passes is not None and passes > most_passes):
            continue
        if best is not None and passes >= best[0]:
            continue
        order = Search(extended).best()
        if order is None or (most_passes is not None and len(order.totals) > most_passes):
            continue
        if best is None or len(order.totals) < best[0]:
            best = len(order.totals), _one_more(problem.totals, extended.totals, size, order)
    return None if best is None else best[1]


def shim_to_cut(problem: PassProblem, more: OneMore, width: tuple[Length, Length], text: str) -> Make:
    """The shim as something to make: thickness within which the same passes hold, and the slot's widths."""
    limits = edges(
        more.thickness,
        _THINNEST_NM // 2,
        2 * more.thickness,
        lambda thickness: problem.obeyed_by(more.lifts(thickness)),
    )
    return _shim(more.thickness, limits, width, text)


def set_of_shims(
    problem: PassProblem, stack_most: int, width: tuple[Length, Length], text: str
) -> tuple[Make, ...]:
    """Shims to cut for an empty drawer: equal ones that stack up, or one for each pass where a stack would be too tall."""
    lifts = _even_lifts(problem)
    if lifts is None:
        return ()
    steps = [b - a for a, b in zip([0, *lifts[:-1]], lifts, strict=True) if b > a]
    if len(steps) > stack_most:
        return tuple(_alone(problem, lifts, i, width, text) for i, lift in enumerate(lifts) if lift)
    return tuple(_stacked(problem, lifts, steps, i, width, text) for i in range(len(steps)))


def _finer(problem: PassProblem) -> PassProblem:
    """An empty drawer has no unit of its own: take one that both inch tenths and micrometres come out in."""
    if problem.totals.sizes:
        return problem
    totals = Totals((), 1, problem.totals.most * problem.totals.unit)
    totals.unit, totals.most = 20, max(problem.target.upper - Search(problem).reading(0), 0) // 20
    return replace(problem, totals=totals)


def _sizes_to_try(problem: PassProblem) -> list[int]:
    """Thicknesses in units that would put a stack where a stack is wanted, the most wanted first."""
    least = -(-_THINNEST_NM // problem.totals.unit)
    on_hand = (0, *sorted(set(problem.totals.sizes)))
    sizes: dict[int, None] = {}
    for place in _wanted(problem):
        for known in on_hand:
            if place - known >= least:
                sizes.setdefault(place - known)
            if len(sizes) >= _MOST_TRIED:
                return list(sizes)
    return list(sizes)


def _wanted(problem: PassProblem) -> Iterator[int]:
    """Totals worth having: on the aim, then a full step before it, a full step after what can be reached, and so on."""
    search = Search(problem.without_load())
    aim = (problem.target.twice_aim // 2 - search.reading(0)) // problem.totals.unit
    yield aim
    _, first = search.first_totals
    reach = search.totals_that_reach() if search.final_totals else 0
    if reach:
        lowest = bits.lowest(reach)
        before = bits.highest(problem.totals.every & bits.up_to(lowest - 1))
        yield (lowest + max(before, 0)) // 2
        yield lowest - search.advance
        yield max(before, 0) + search.advance
    yield first
    step = max(search.advance, 1)
    for passes in range(1, 8):
        yield aim - passes * step
        yield first + passes * step


def _one_more(old: Totals, new: Totals, size: int, order: PassOrder) -> OneMore:
    """Which passes use the new shim: those whose total it makes with fewer shims than are on hand."""
    passes = []
    for total in order.totals:
        uses = not bits.has(old.every, total) or new.count(total) < old.count(total)
        passes.append(((total - size if uses else total) * old.unit, int(uses)))
    return OneMore(size * old.unit, tuple(passes))


def _even_lifts(problem: PassProblem) -> list[int] | None:
    """Totals in nm that any shims could make: the first as low as it may be, then equal steps to the aim."""
    search = Search(problem)
    unit = problem.totals.unit
    low, high = search.first_totals
    start = max(0, min(low * unit, high * unit))
    aim = problem.target.twice_aim // 2 - search.reading(0)
    for passes in range(free_passes(problem), free_passes(problem) + 8):
        if passes == 1:
            lifts = [aim]
        else:
            start = min(max(start, aim - (passes - 1) * problem.teeth.advance_nm), aim)
            lifts = [start + (aim - start) * i // (passes - 1) for i in range(passes)]
        if lifts[0] >= 0 and problem.obeyed_by(lifts):
            return lifts
    return None


def _alone(problem: PassProblem, lifts: list[int], at: int, width: tuple[Length, Length], text: str) -> Make:
    def holds(thickness: int) -> bool:
        return problem.obeyed_by([*lifts[:at], thickness, *lifts[at + 1 :]])

    return _shim(lifts[at], edges(lifts[at], 1, 2 * lifts[at], holds), width, text)


def _stacked(
    problem: PassProblem, lifts: list[int], steps: list[int], at: int, width: tuple[Length, Length], text: str
) -> Make:
    skipped = len(lifts) - len(steps)

    def holds(thickness: int) -> bool:
        off = thickness - steps[at]
        return problem.obeyed_by([lift + off if i >= at + skipped else lift for i, lift in enumerate(lifts)])

    return _shim(steps[at], edges(steps[at], 1, 2 * steps[at], holds), width, text)


def _shim(thickness: int, limits: tuple[Length, Length], width: tuple[Length, Length], text: str) -> Make:
    return Make(
        Kind.SHIM,
        {"thickness": limits, "width": width},
        {"thickness": Length(thickness), "width": Length((width[0].nm + 3 * width[1].nm) // 4)},
        text,
    )


def shim_widths(slot_width: Length, case: Case) -> tuple[Length, Length]:
    """The widths a shim for this slot may have."""
    low, high = case.bounds.shim_width(slot_width)
    return Length(max(low.nm, 1)), high
