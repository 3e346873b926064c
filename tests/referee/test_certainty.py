"""What is sure of a piece with limits, against every value within them, planned one by one by brute force."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from itertools import product
from random import Random

import pytest

from broachplan.buying.how_sure import values_of
from broachplan.buying.limits import CutTerms, HowSure, Trust
from broachplan.buying.piece_index import PieceIndex
from broachplan.buying.serving import HubAsked, Serving, Servings
from broachplan.buying.webs import webs_within
from broachplan.lengths import Length
from broachplan.planner.pairs import most_total_nm, problem_of
from broachplan.planner.tried import Trial, try_hub
from broachplan.tooling.pieces import Shim
from tests.referee.brute_force import Question, force_and_column, possible
from tests.referee.cribs import crib
from tests.referee.limited_cribs import GRID_NM, LimitedCrib, limited_crib

KINDS = (
    ("web",),
    ("heights",),
    ("thickness",),
    ("web", "thickness"),
    ("outside_diameter",),
    ("slot_width", "web"),
    ("keyway_width",),
    ("keyway_width", "web"),
    ("thickness", "heights"),
    ("width",),
    ("overall_length",),
)
TOGETHER = (("thickness", "thickness"), ("slot_width", "thickness"), ("width", "thickness"))
BY_DAY, AT_NIGHT = range(16), range(16, 320)


def cases(numbers: range, kinds: tuple[tuple[str, ...], ...] = KINDS) -> Iterator[LimitedCrib]:
    """Random cribs with limits on each kind of figure in turn."""
    for number in numbers:
        for names in kinds:
            found = limited_crib(number, names)
            if found is not None:
                yield found


def serving(of: LimitedCrib, trust: Trust | None = None) -> tuple[Serving, frozenset[str]]:
    """What could serve the hub of a crib, and what of it is off the shelf."""
    question = of.with_middles()
    servings = Servings(PieceIndex(question.shelf), question.settings, trust or Trust(of.limits))
    return servings.of(HubAsked(question.hub, question.keyway, question.press)), frozenset(question.shelf.off)


def compared(numbers: range, seen: Counter[str], kinds: tuple[tuple[str, ...], ...] = KINDS) -> None:
    """What is sure, with the pieces that are said to be enough alone, has a plan at every value."""
    for of in cases(numbers, kinds):
        hub, off = serving(of)
        pieces = hub.pieces_of_any_plan(off)
        outcomes = list(of.outcomes()) if pieces is None else list(alone(of, pieces).outcomes())
        if pieces is not None:
            assert all(outcomes)
            assert hub.pieces_of_any_plan(off | (hub.pieces - pieces)) is not None
        seen["sure" if pieces is not None else "some" if any(outcomes) else "none"] += 1
        seen["not shown"] += pieces is None and all(outcomes)


def alone(of: LimitedCrib, pieces: frozenset[str]) -> LimitedCrib:
    """The same with everything else off the shelf."""
    shelf = of.question.shelf
    others = {one.tag: "away" for one in (*shelf.broaches, *shelf.bushings, *shelf.shims)}
    off = {tag: why for tag, why in others.items() if tag not in pieces} | dict(shelf.off)
    return of.with_off(off)


def test_what_is_sure_has_a_plan_at_every_value_with_no_more_pieces_than_it_says() -> None:
    seen: Counter[str] = Counter()

    compared(BY_DAY, seen)

    assert seen["not shown"] == 0
    assert min(seen["sure"], seen["some"], seen["none"]) > 5


@pytest.mark.nightly
def test_what_is_sure_has_a_plan_at_every_value_over_many_cribs() -> None:
    seen: Counter[str] = Counter()

    compared(AT_NIGHT, seen)
    compared(range(60), seen, TOGETHER)

    # Where two bushings share the values out between them neither is sure by itself.
    assert seen["not shown"] < seen["sure"] / 100


def test_where_one_web_alone_is_not_known_what_is_not_sure_has_a_web_without_a_plan() -> None:
    witnesses = 0
    for of in cases(range(40), (("web",),)):
        hub, off = serving(of)
        (((tag, _),), width) = of.groups[0]
        if hub.pieces_of_any_plan(off) is None and any(of.outcomes()):
            assert any(not possible(of.at((by,))) for by in _ends(of, tag, width))
            witnesses += 1
    assert witnesses


def _ends(of: LimitedCrib, tag: str, width: int) -> Iterator[int]:
    """How much over the least web the values lie that are just outside of what does for one of the pairs."""
    question = of.question
    shelf = question.shelf
    tried = try_hub(Trial(question.hub, question.keyway, shelf, question.settings, question.press))
    yield from (0, width)
    for one in tried.begun:
        if one.pair.bushing.tag == tag:
            slot, web = one.pair.bushing.slot_width, one.pair.bushing.web
            assert slot is not None
            assert web is not None
            totals = tried.drawer.totals(slot, most_total_nm(one.pair.broach, one.pair.bushing, tried.case))
            problem = problem_of(one.pair, totals, tried.case)
            for low, high in webs_within(problem, web.nm, web.nm + width):
                yield from (end - web.nm for end in (low - 1, high + 1) if 0 <= end - web.nm <= width)


def test_what_has_no_plan_for_any_value_is_not_to_be_measured() -> None:
    seen: Counter[str] = Counter()
    for of in cases(range(16), tuple(kind for kind in KINDS if len(kind) == 1)):
        hub, off = serving(of, Trust(of.limits, measure=True))
        certain = {hub.certainty(fit, off) for fit in hub.fits if off.isdisjoint(fit.tags)}
        outcomes = list(of.outcomes())
        assert (HowSure.SURE in certain) == all(outcomes)
        if any(outcomes):
            assert certain & {HowSure.SURE, HowSure.MEASURE}
        seen["measure" if HowSure.MEASURE in certain else "other"] += 1
    assert seen["measure"] > 3


def test_the_webs_that_do_are_those_with_a_plan() -> None:
    seen: Counter[bool] = Counter()
    for of in cases(range(70), (("web",),)):
        hub, off = serving(of, Trust(of.limits, measure=True))
        (((tag, _),), width) = of.groups[0]
        least = next(one.web.nm for one in of.question.shelf.bushings if one.tag == tag and one.web)
        for fit in hub.fits:
            if fit.bushing.tag != tag or not off.isdisjoint(fit.tags):
                continue
            if hub.certainty(fit, off) is HowSure.MEASURE:
                do = values_of(hub, [fit], off)["web"]
                only = alone(of, frozenset(fit.tags) | _shims(of.question))
                ends = {end + by for interval in do for end in interval for by in (-1, 0, 1)}
                for web in sorted({*ends, *range(least, least + width, GRID_NM)}):
                    if least <= web <= least + width:
                        within = any(low <= web <= high for low, high in do)
                        assert possible(only.at((web - least,))) == within
                        seen[within] += 1
    assert min(seen[True], seen[False]) > 8


def test_with_a_shim_cut_to_measure_every_value_has_a_plan() -> None:
    cut = 0
    for of in cases(range(24), (("web",), ("heights",))):
        (((tag, _), *_), _), *_ = of.groups
        few = replace(of, question=without_some_shims(of.question))
        hub, off = serving(few, Trust(of.limits, cut=CutTerms(100, 1)))
        for fit in hub.fits:
            if not off.isdisjoint(fit.tags) or tag not in fit.tags:
                continue
            without = hub.pieces_of_plan(replace(fit, cut=""), off)
            if without is None and hub.certainty(fit, off) is HowSure.SHIM:
                only = alone(few, frozenset(fit.tags) | _shims(few.question))
                for values in product(*([0, width // 2, width] for _, width in of.groups)):
                    assert can_be_cut_for(only.at(values), fit.broach.tag, fit.bushing.tag)
                cut += 1
    assert cut > 2


def without_some_shims(question: Question) -> Question:
    """The crib with every second shim gone."""
    return replace(question, shelf=replace(question.shelf, shims=question.shelf.shims[::2]))


def can_be_cut_for(question: Question, broach_tag: str, bushing_tag: str) -> bool:
    """Whether one more shim, of some thickness that is tried, gives this pair a plan."""
    (broach,) = (one for one in question.shelf.broaches if one.tag == broach_tag)
    (bushing,) = (one for one in question.shelf.bushings if one.tag == bushing_tag)
    assert broach.last_tooth_height is not None
    assert bushing.web is not None
    bare = bushing.web.nm + broach.last_tooth_height.nm
    totals = [0]
    for shim in question.shelf.shims:
        if shim.thickness is not None:
            totals += [total + shim.thickness.nm for total in totals]
    aims = [question.keyway.aim.nm - bare - total for total in totals]
    sizes = [nm for nm in (*aims, *range(20 * GRID_NM, 3_000_000, 3 * GRID_NM)) if nm >= 20 * GRID_NM]
    return any(
        possible(
            replace(
                question,
                shelf=replace(
                    question.shelf,
                    shims=(
                        *question.shelf.shims,
                        Shim(tag="NEW", thickness=Length(nm), width=bushing.slot_width),
                    ),
                ),
            )
        )
        for nm in sizes
    )


def _shims(question: Question) -> frozenset[str]:
    return frozenset(shim.tag for shim in question.shelf.shims)


def test_the_load_of_given_passes_never_falls_as_the_web_grows() -> None:
    steps = risen = 0
    for number in range(120):
        question, random = crib(number), Random(number)
        for _ in range(25):
            before = random.choice((None, random.randrange(0, 2_000_000)))
            total = (before or 0) + random.randrange(1, 1_500_000)
            more = random.choice((1, 50, 2_540, 20_000, 150_000))
            loads = [force_and_column(_with_web(question, by), before, total) for by in (0, more)]
            if None in loads:
                break
            (low, high, holds), (then_low, then_high, then_holds) = (load for load in loads if load)
            assert then_low >= low * (1 - 1e-9)
            assert then_high >= high * (1 - 1e-9)
            assert holds or not then_holds
            steps += 1
            risen += then_high > high
    assert steps > 1000
    assert risen > steps / 4


def _with_web(question: Question, more: int) -> Question:
    bushings = tuple(
        replace(one, web=Length(one.web.nm + more)) for one in question.shelf.bushings if one.web is not None
    )
    return replace(question, shelf=replace(question.shelf, bushings=bushings))
