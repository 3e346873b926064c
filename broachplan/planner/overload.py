"""Why the press or the broach as a column refuses a pair whose passes come out, and which pairs are nearest to going."""

from __future__ import annotations

from bisect import insort
from collections.abc import Iterable, Iterator, Sequence
from math import inf

from broachplan.planner.answer import Rule
from broachplan.planner.pairs import Overloaded, Pair, exact_peaks
from broachplan.planner.presses import Peaks, allowed_by
from broachplan.planner.rules import Case, Reason
from broachplan.planner.search import Search
from broachplan.quantities import show_force, show_forces_apart
from broachplan.tooling.pieces import Press


def overload_reasons(
    overloaded: Iterable[Overloaded], case: Case, most_shown: int | None
) -> Iterator[tuple[Overloaded, Reason]]:
    """The reason of each pair, in words for the ``most_shown`` nearest of each rule; the others only count.

    None: in words for all; 0: for none. Nearest is the least peak over what there is to bear it; a pair whose peak is surely larger
    than that of enough others is not looked at further.
    """
    if most_shown == 0:
        yield from ((one, Reason(one.rule, "", inf)) for one in overloaded)
        return
    shown: dict[Rule, list[float]] = {}
    found: list[tuple[Overloaded, float]] = []
    for one in overloaded:
        nearest = shown.setdefault(one.rule, [])
        limit = nearest[most_shown - 1] if most_shown is not None and len(nearest) >= most_shown else inf
        share = _share(one, limit)
        insort(nearest, share)
        found.append((one, share))
    for one, share in found:
        nearest = shown[one.rule]
        in_words = most_shown is None or share <= nearest[min(most_shown, len(nearest)) - 1]
        yield one, _reason(one, share, case) if in_words else Reason(one.rule, "", share)


def _share(one: Overloaded, limit: float) -> float:
    """The least peak of the pair's passes over what press or column bear; infinite where it is over ``limit``."""
    bears = _bears_n(one)
    peak = one.search.least_peak(None if limit == inf else int(limit * bears) + 1)
    return inf if peak is None else peak / bears


def _bears_n(one: Overloaded) -> float:
    bearing = one.pair.bearing
    assert bearing is not None
    return bearing.most.high_n if one.rule is Rule.PRESS_FORCE else bearing.model.column_bears_n


def _reason(one: Overloaded, share: float, case: Case) -> Reason:
    peak = one.search.least_peak()
    order = one.search.in_full(peak)
    return overload_reason(one.rule, one.pair, one.search, order.lifts, share, case)


def overload_reason(
    rule: Rule, pair: Pair, search: Search, lifts: Sequence[int], share: float, case: Case
) -> Reason:
    """Why the press, or the broach as a column, refuses the passes of these totals; ``share`` orders the reasons."""
    peaks = exact_peaks(search, lifts)
    strongest = pair.presses.strongest
    if rule is Rule.PRESS_FORCE and strongest is not None:
        return Reason(rule, _too_small(peaks, strongest, case), share)
    ratio = min(
        search.load_of(before, total).column_ratio
        for before, total in zip((None, *lifts[:-1]), lifts, strict=True)
    )
    return Reason(
        rule,
        f"the broach would not hold as a column: a pass needs {show_force(peaks.high_n, case.settings.shown_in)}, "
        f"buckling ratio {ratio:.2f}, at least {float(case.settings.column_safety):g}, and no more stress than its root bears",
        share,
    )


def _too_small(peaks: Peaks, strongest: Press, case: Case) -> str:
    """The strongest press refuses by its share of the low force, or by the whole of the high one."""
    units, most = case.settings.shown_in, allowed_by(strongest, case)
    if peaks.low_n > most.low_n:
        needed, there = show_forces_apart(units, peaks.low_n, most.low_n)
        share = f"{case.settings.press_share * 100} % of press {strongest.tag} is {there}"
        return f"needs {needed} with a sharp broach; {share}"
    needed, there = show_forces_apart(units, peaks.high_n, most.high_n)
    return f"may need {needed} with a dulled edge; press {strongest.tag} is rated {there}"
