"""Bands on plans: what the crib knows of the pieces, what the limits make of it, and how far the keyway lies to a side."""

from __future__ import annotations

from dataclasses import replace
from math import isqrt

import pytest

from broachplan.crib.records import Measurement
from broachplan.crib.shelf import Shelf
from broachplan.cut.budget import StackPart
from broachplan.lengths import Length, Limits
from broachplan.planner.answer import Plan, PlanBudget, Warn
from broachplan.planner.bands import with_bands
from broachplan.planner.certainty import Certainty, PriorReading, Setup
from broachplan.planner.plan import plan
from broachplan.questions.hub import HubQuestion
from broachplan.questions.read_hub import read_hub_question
from broachplan.settings import Settings
from broachplan.standards.named import Standard
from broachplan.tooling.pieces import Broach, Bushing
from tests.planner.setups import BASE, MM, NM, SetUp, caution, limits, shim, warned

INCH = Length.inches
EXACT = Measurement(to=Length(0))
# Nothing is uncertain but the play, 25 - 24.98 mm: what is left is geometry.
DRY = BASE.but(how=EXACT, settings={"joint_film": Length(0)})


def best(setup: SetUp) -> Plan:
    return setup.answer().plans[0]


def budget(setup: SetUp) -> PlanBudget:
    found = best(setup).budget
    assert found is not None
    return found


def reading_up_to(limit: Length, setup: SetUp = DRY) -> SetUp:
    return setup.but(keyway={"reading": limits(MM("28.0"), limit)})


def reading_from(limit: Length, setup: SetUp = DRY) -> SetUp:
    return setup.but(keyway={"reading": limits(limit, MM("28.3"))})


def test_with_all_exact_the_play_alone_counts_and_only_deeper() -> None:
    assert best(DRY).band == (MM("28.1"), MM("28.12"))
    assert Warn.BAND not in warned(reading_up_to(MM("28.12")).answer())
    assert Warn.BAND in warned(reading_up_to(MM("28.12") - NM).answer())
    # The plain reading is the lower limit itself, and there is play.
    assert Warn.BAND not in warned(reading_from(MM("28.1")).answer())


def test_a_web_known_to_a_caliper_may_come_out_too_shallow_as_well() -> None:
    # 95 of 100 lie within 28.5 um of a uniform 30 um either way.
    rough = DRY.but(measured={"G": Measurement("caliper")})

    assert best(rough).band == (MM("28.1") - MM("0.0285"), MM("28.12") + MM("0.0285"))
    assert Warn.BAND not in warned(reading_from(MM("28.0715"), rough).answer())
    shallow = caution(reading_from(MM("28.0715") + NM, rough).answer(), Warn.BAND)
    assert "too shallow: down to" in shallow
    assert "too deep" not in shallow
    both = caution(rough.but(keyway={"reading": limits(MM("28.08"), MM("28.13"))}).answer(), Warn.BAND)
    assert "too deep: up to" in both
    assert "or too shallow: down to" in both


def test_every_pass_has_the_band_of_its_own_stack() -> None:
    # Oil alone: one joint under the bare broach, one more with each shim, 5 um each. The band of one joint is the middle
    # nineteen twentieths; of two, x = 5 um sqrt(2/40) from either end (Simpson's distribution).
    oiled = BASE.but(how=EXACT, bushing={"outside_diameter": MM(25)})

    first, second, *_, last = best(oiled).passes

    assert first.band == (first.reading + Length(125), first.reading + Length(4_875))
    corner = isqrt(2 * 5_000**2 // 40)
    assert second.band is not None
    assert second.band.low == second.reading + Length(corner + 1)
    assert best(oiled).band == last.band


def test_pieces_of_which_nobody_knows_how_they_were_measured_count_as_nominal() -> None:
    terms = budget(BASE.but(how=Measurement())).last.terms

    assert {(term.from_nm, term.to_nm) for term in terms if term.tag} == {(-50_000, 50_000)}
    assert {term.tag for term in terms if term.tag} == {"K", "G", "a", "b", "c"}


def test_six_thou_of_play_may_cut_six_thou_too_deep() -> None:
    # A bore of 1 in with 1/4 in key reads 1.1141 to 1.1241 in (ASME B17.1); bored five thou large it leaves this
    # bushing 1.005 - 0.9988 = 0.0062 in of play.
    hub, keyway = read_hub_question(HubQuestion(bore="1 in +0.005 -0.000", key="1/4 in", hub_length="1 in"))
    tool = Broach(
        tag="K",
        keyway_width=INCH("0.2505"),
        body_width=INCH("0.2505"),
        first_tooth_height=INCH("0.5200"),
        last_tooth_height=INCH("0.5954"),
        tooth_pitch=INCH("0.3125"),
        rising_teeth=30,
    )
    guide = Bushing(tag="G", outside_diameter=INCH("0.9988"), slot_width=INCH("0.2520"), web=INCH("0.4200"))
    shims = (shim("a", INCH("0.0525"), INCH("0.2500")), shim("b", INCH("0.0525"), INCH("0.2500")))
    shop = replace(Settings(), joint_film=Length(0))

    answer = with_bands(
        plan(hub, keyway, Shelf((tool,), (guide,), shims, ()), shop),
        dict.fromkeys(("K", "G", "a", "b"), EXACT),
    )

    found = answer.plans[0]
    assert found.reading == INCH("1.1204")
    assert found.band == (INCH("1.1204"), INCH("1.1204") + INCH("0.0062"))
    assert "0.0062 in of play, and the keyway comes out deep" in caution(answer, Warn.LOOSE)
    assert "too deep: up to 1.1266 in, 0.0025 in past the limit of 1.1241 in" in caution(answer, Warn.BAND)
    # Slot 0.0015 in wider than the broach: half of that and half of the play; both together over the hub's length.
    # ASME B17.1 allows 0.010 in off centre, and 0.002 in of lead in a hub up to 4 in long.
    assert found.budget is not None
    assert (found.budget.off_centre, found.budget.lead) == (INCH("0.00385"), INCH("0.0077"))
    assert (found.budget.off_centre_most, found.budget.lead_most) == (INCH("0.010"), INCH("0.002"))
    assert "may lean 0.0077 in to a side over the hub; the standard allows 0.0020 in" in caution(
        answer, Warn.LEAD
    )


def bore_up_to(upper: Length) -> SetUp:
    return DRY.but(
        hub={"bore": Limits(MM(25), MM(25), upper)}, keyway={"reading": limits(MM("27"), MM("29"))}
    )


def test_a_bore_that_was_measured_leaves_the_play_that_it_has() -> None:
    wide = bore_up_to(MM("25.03"))
    measured = wide.but(hub={"bore_measured": MM("25.01")})

    assert budget(wide).last.gap == (0, 50_000)
    assert budget(measured).last.gap == (0, 30_000)
    assert best(measured).passes[-1].reading == best(wide).passes[-1].reading
    # The same cut: what is entered and bitten is reckoned with the smallest bore.
    assert [one.first_bite for one in best(measured).passes] == [one.first_bite for one in best(wide).passes]


def test_a_bore_is_measured_first_where_its_limits_leave_most_to_win() -> None:
    wide = bore_up_to(MM("25.03"))

    assert budget(wide).first == (StackPart.BORE, None, 50_000, 35_000)
    assert budget(wide.but(hub={"bore_measured": MM("25.01")})).first is None
    assert budget(DRY).first is None  # a bore without limits is taken as exact


def test_a_loose_bushing_in_a_bore_that_was_measured_is_not_cured_by_measuring() -> None:
    loose = bore_up_to(MM("25.2"))

    assert "measure the bore and type its size" in caution(loose.answer(), Warn.LOOSE)
    message = caution(loose.but(hub={"bore_measured": MM("25.15")}).answer(), Warn.LOOSE)
    assert "the bushing has 0.0067 in of play" in message
    assert "measure the bore" not in message
    assert Warn.LOOSE not in warned(loose.but(hub={"bore_measured": MM("25.02")}).answer())


def inch(setup: SetUp) -> SetUp:
    return setup.but(keyway={"standard": Standard.INCH})


def test_lead_is_held_against_the_standard_and_a_metric_one_has_none() -> None:
    # Slot clearance 0.02 mm and play, over a hub that the bushing guides whole: B17.1 allows 0.002 in = 0.0508 mm.
    at_the_limit = inch(bore_up_to(MM("24.98") + MM("0.0308")))
    beyond = inch(bore_up_to(MM("24.98") + MM("0.0308") + NM))

    assert budget(at_the_limit).lead == INCH("0.002")
    assert Warn.LEAD not in warned(at_the_limit.answer())
    assert Warn.LEAD in warned(beyond.answer())
    metric = beyond.but(keyway={"standard": Standard.METRIC})
    assert Warn.LEAD not in warned(metric.answer())
    assert (budget(metric).lead_most, budget(metric).off_centre_most) == (None, None)


def test_off_centre_is_held_against_the_standard() -> None:
    # Half of 0.02 mm and half of the play against 0.010 in = 0.254 mm.
    at_the_limit = inch(bore_up_to(MM("24.98") + MM("0.488")))
    beyond = inch(bore_up_to(MM("24.98") + MM("0.488") + NM * 2))

    assert Warn.OFF_CENTRE not in warned(at_the_limit.answer())
    assert Warn.OFF_CENTRE in warned(beyond.answer())


def test_where_the_body_was_not_measured_the_slot_clearance_is_that_of_the_teeth() -> None:
    thin = DRY.but(broach={"keyway_width": MM("6.99"), "body_width": None})

    assert budget(thin).off_centre == MM("0.015") + MM("0.01")


def test_a_hub_longer_than_its_bushing_may_differ_more_at_its_ends() -> None:
    # 17 mm of hub on 10 mm of bushing, 0.02 mm of play.
    short = budget(DRY.but(bushing={"length": MM(10)}))

    assert short.ends_differ == MM("0.034")
    assert short.last.gap == (0, 20_000)
    assert short.last.bottom == (-14_000, 34_000)
    assert budget(DRY.but(bushing={"length": None})).ends_differ == MM("0.02")


def test_after_a_reading_expected_and_band_stand_on_the_reading() -> None:
    hub_and_shop = Certainty(DRY.hub, DRY.settings, dict.fromkeys("KGabc", EXACT))
    stack = DRY.shims
    setup = Setup(DRY.broach, DRY.bushing, stack)

    assert setup.plain == MM("28.1")
    found = hub_and_shop.budget(setup, PriorReading(stack[:1], MM("0.015")))
    # All is exact but gauge, 10 um either way, and play, which may be another: alone from 28.1 + 0.015 - 0.00975 - 0.02;
    # the band before allows nothing under 28.1, and nothing over 28.12.
    assert (found.expected, found.low, found.high) == (28_115_000, 28_100_000, 28_120_000)
    doubtful = hub_and_shop.budget(setup, PriorReading(stack[:1], MM("0.015"), doubtful=True))
    assert (doubtful.low, doubtful.high) == (28_115_000 - 29_500, 28_115_000 + 29_500)


@pytest.mark.parametrize(("upper", "message"), [("28.11", False), ("28.109999", True)])
def test_where_nothing_is_left_to_do_the_band_is_the_reading_and_the_gauge(upper: str, message: bool) -> None:
    answer = DRY.but(keyway={"reading": limits(MM("28.05"), MM(upper))}).answer()
    done = replace(answer, plans=(replace(answer.plans[0], passes=(), cautions=(), reading=MM("28.1")),))

    found = with_bands(done, {}).plans[0]

    assert found.band == (MM("28.09"), MM("28.11"))
    assert found.budget is not None
    assert found.budget.first is None
    assert [one.rule for one in found.cautions] == [Warn.BAND] * message


def test_a_band_past_a_limit_says_what_would_help() -> None:
    tight = {"reading": limits(MM("28.09"), MM("28.11"))}
    gauge_first = "gauge before the last pass"

    assert caution(DRY.but(keyway=tight).answer(), Warn.BAND).endswith(f"limit of 1.1066 in; {gauge_first}")
    rough = DRY.but(keyway=tight, measured={"G": Measurement("caliper")})
    assert caution(rough.answer(), Warn.BAND).endswith(f"; measure bushing G again, and {gauge_first}")
    wide = DRY.but(keyway=tight, hub={"bore": Limits(MM(25), MM(25), MM("25.01"))})
    assert caution(wide.answer(), Warn.BAND).endswith(
        f"; measure the bore and type its size, and {gauge_first}"
    )
    # A bore as wide as that hides the floor from the gauge until the last pass.
    hidden = DRY.but(
        keyway=tight, hub={"bore": Limits(MM(25), MM(25), MM("28.09")), "bore_measured": MM("28.09")}
    )
    assert caution(hidden.answer(), Warn.BAND).endswith("; cut a trial piece first")
