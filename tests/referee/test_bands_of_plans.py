"""Every band of the plans of random cribs, computed again from the definition of a band in words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import combinations
from math import factorial, prod
from random import Random

from broachplan.crib.records import Measurement
from broachplan.lengths import Length
from broachplan.planner.answer import Plan, Warn
from broachplan.planner.bands import with_bands
from broachplan.settings import Settings
from broachplan.tooling.hub import Hub
from broachplan.tooling.pieces import Shim
from tests.referee.compare import crib_and_answer

NM_PER_UM = 1_000
HOW = {
    "": 50, "by eye": 50, "caliper": 30, "Caliper 0-6 in": 30, "HEIGHT GAUGE": 20, "micrometer": 5,
    "micrometer, then caliper": 5, "caliper and micrometer": 30,
}  # fmt: skip


def share_under(x: int, widths: Sequence[int]) -> Fraction:
    """How likely the sum of uniform terms is at most x: every subset of the widths on its own."""
    total = sum(
        (-1) ** size * max(0, x - sum(chosen)) ** len(widths)
        for size in range(len(widths) + 1)
        for chosen in combinations(widths, size)
    )
    return Fraction(total, factorial(len(widths)) * prod(widths))


def is_quantile(x: int, widths: Sequence[int], share: Fraction) -> bool:
    return share_under(x - 1, widths) < share <= share_under(x, widths)


def within_nm(how: Measurement) -> int:
    return how.to.nm if how.to else HOW[how.with_what] * NM_PER_UM


def ends_of_play(hub: Hub, plan: Plan) -> tuple[Fraction, Fraction]:
    """Bounds of the gap in the middle of the hub, over both ends of the bushing at nothing or at the whole play."""
    assert plan.bushing.outside_diameter is not None
    play = (hub.bore_measured or hub.bore.upper).nm - plan.bushing.outside_diameter.nm
    length = hub.length.nm * hub.stack
    guided = min(plan.bushing.length.nm, length) if plan.bushing.length else length
    share = Fraction(length, 2 * guided)
    gaps = [a * (1 - share) + b * share for a in (0, play) for b in (0, play)]
    return min(gaps), max(gaps)


def check_pass(plan: Plan, place: int, hub: Hub, measured: dict[str, Measurement], film: int) -> int:
    """One pass's band against its definition; the number of its terms."""
    push = plan.passes[place]
    pieces = (plan.broach, plan.bushing, *push.stack)
    each = [within_nm(measured.get(piece.tag, Measurement())) for piece in pieces]
    widths = [2 * nm for nm in each] + [film] * (len(push.stack) + 1)
    assert plan.broach.last_tooth_height is not None
    assert plan.bushing.web is not None
    plain = plan.broach.last_tooth_height.nm + plan.bushing.web.nm + sum(map(thickness, push.stack))
    least, most = ends_of_play(hub, plan)
    assert push.band is not None
    from_least = plain - sum(each)
    assert is_quantile(push.band.low.nm - from_least - round(least), widths, Fraction(25, 1000))
    assert is_quantile(push.band.high.nm - from_least - round(most), widths, Fraction(975, 1000))
    return len(widths)


def thickness(shim: Shim) -> int:
    assert shim.thickness is not None
    return shim.thickness.nm


def test_every_band_of_the_plans_of_random_cribs_is_what_the_words_say() -> None:
    seen, past, terms = 0, 0, 0
    for number in range(40):
        question, bare = crib_and_answer(number)
        chance = Random(number)
        shelf, bore = question.shelf, question.hub.bore
        measured = {
            piece.tag: Measurement(chance.choice(list(HOW)), to=chance.choice((None, None, Length(1_234))))
            for piece in (*shelf.broaches, *shelf.bushings, *shelf.shims)
            if chance.random() < 0.9
        }
        known = Length(chance.randint(bore.lower.nm, bore.upper.nm)) if chance.random() < 0.3 else None
        hub = replace(question.hub, bore_measured=known)
        film = Settings().joint_film.nm
        for plan in with_bands(replace(bare, hub=hub), measured).plans:
            for place in range(len(plan.passes)):
                terms = max(terms, check_pass(plan, place, hub, measured, film))
                seen += 1
            limits = question.keyway.reading
            assert plan.band == plan.passes[-1].band
            low, high = plan.band
            outside = low < limits.lower or high > limits.upper
            assert outside == (Warn.BAND in {caution.rule for caution in plan.cautions})
            past += outside
    assert seen > 60
    assert past > 8
    assert terms >= 8
