"""What to make when a piece is missing: with it on the shelf the hub is possible, at its best and at each end."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

import pytest

from broachplan.lengths import Length, Units
from broachplan.planner.answer import Answer, Make, Rule
from broachplan.quantities import Force
from broachplan.tooling.figures import Kind
from broachplan.tooling.hub import BoreForm
from broachplan.tooling.pieces import Broach, Bushing, Shim
from tests.planner.setups import BASE, MM, NM, SetUp, limits, only_rule, rules, shim

THOU = Length.inches("0.001")
NO_SHIM_FOR_THE_END = BASE.but(shims=BASE.shims[:2])
NO_BUSHING = BASE.but(bushing={"outside_diameter": MM(30)})
NO_BROACH = BASE.but(broach={"keyway_width": MM(6), "body_width": MM(6)})
EVEN_STEPS = NO_BROACH.but(shims=tuple(shim(tag, MM("0.9")) for tag in "abc"))
NOTHING_TO_LIFT = BASE.but(shims=())
BLOCKED = {
    "a shim": NO_SHIM_FOR_THE_END,
    "all shims": NOTHING_TO_LIFT,
    "the bushing": NO_BUSHING,
    "bushing and shims": NO_BUSHING.but(shims=()),
    "the broach": EVEN_STEPS,
    "broach and shims": NO_BROACH.but(shims=()),
    "broach and further shims": NO_BROACH,
    "the bushing, stacked": NO_BUSHING.but(hub={"stack": 2, "length": MM(20)}, press=None),
}


def ways(answer: Answer) -> dict[int, list[Make]]:
    """The pieces to make, those of one way together."""
    found: dict[int, list[Make]] = {}
    for make in answer.make:
        found.setdefault(make.way, []).append(make)
    return found


def made(make: Make, number: int, **figures: Length) -> Broach | Bushing | Shim:
    """The piece at its best, except for some figures."""
    sizes = dict(make.best) | figures
    tag = f"made {number}"
    if make.kind is Kind.SHIM:
        return Shim(tag=tag, **sizes)
    if make.kind is Kind.BUSHING:
        return Bushing(tag=tag, **sizes)
    return Broach(tag=tag, rising_teeth=make.rising_teeth, **sizes)


def with_pieces(setup: SetUp, pieces: list[Broach | Bushing | Shim]) -> SetUp:
    shims = tuple(piece for piece in pieces if isinstance(piece, Shim))
    return setup.but(
        shims=(*setup.shims, *shims), more=tuple(piece for piece in pieces if not isinstance(piece, Shim))
    )


def at_each_end(makes: list[Make]) -> Iterator[tuple[str, list[Broach | Bushing | Shim]]]:
    """The pieces all at their best, then one figure of one of them at either end of its limits."""
    best = [made(make, i) for i, make in enumerate(makes)]
    yield "best", best
    for i, make in enumerate(makes):
        for figure, (lower, upper) in make.limits.items():
            assert lower <= make.best[figure] <= upper
            for end in (lower, upper):
                yield (
                    f"{make.kind} {figure} {end.nm}",
                    [*best[:i], made(make, i, **{figure: end}), *best[i + 1 :]],
                )


@pytest.mark.parametrize("missing", BLOCKED)
def test_each_way_readies_the_hub_at_its_best_and_at_both_ends_of_every_limit(missing: str) -> None:
    blocked = BLOCKED[missing]
    answer = blocked.answer()
    assert not answer.ready
    assert answer.make

    for makes in ways(answer).values():
        for what, pieces in at_each_end(makes):
            assert with_pieces(blocked, pieces).answer().ready, what


def test_the_ways_are_numbered_and_shims_that_do_alone_are_the_first_of_them() -> None:
    kinds = {
        missing: [{make.kind for make in makes} for _, makes in sorted(ways(setup.answer()).items())]
        for missing, setup in BLOCKED.items()
    }

    assert all(
        sorted(ways(setup.answer())) == list(range(1, len(ways(setup.answer())) + 1))
        for setup in BLOCKED.values()
    )
    assert kinds["a shim"] == kinds["all shims"] == [{Kind.SHIM}]
    assert kinds["the bushing"] == [{Kind.BUSHING}]
    assert kinds["bushing and shims"] == [{Kind.BUSHING, Kind.SHIM}]
    assert kinds["the broach"] == [{Kind.BROACH}]
    assert kinds["broach and shims"] == [{Kind.BROACH, Kind.SHIM}]


def test_the_shim_to_cut_has_the_thickness_that_the_readings_limits_leave() -> None:
    # From the two shims of 1 mm the reading needs 2.85 to 2.95 mm of shims, 2.9 on the aim.
    (cut,) = ways(NO_SHIM_FOR_THE_END.answer())[1]
    known = {Length(0), MM(1), MM(2)}

    assert cut.kind is Kind.SHIM
    assert MM("2.9") - cut.best["thickness"] in known
    beside = MM("2.9") - cut.best["thickness"]
    assert cut.limits["thickness"] == (MM("2.85") - beside, MM("2.95") - beside)
    assert cut.limits["width"] == (MM("7.02") - THOU * 30, MM("7.02"))


def test_a_shim_a_nanometre_out_of_its_limits_does_not_do() -> None:
    (cut,) = ways(NO_SHIM_FOR_THE_END.answer())[1]
    thin, thick = cut.limits["thickness"]

    for thickness in (thin - NM, thick + NM):
        answer = with_pieces(NO_SHIM_FOR_THE_END, [made(cut, 0, thickness=thickness)]).answer()
        assert only_rule(answer) is Rule.READING


def test_a_metric_shim_to_cut_is_sized_in_whole_micrometres_and_an_inch_one_in_tenths_of_a_thou() -> None:
    (metric,) = ways(NO_SHIM_FOR_THE_END.answer())[1]
    assert metric.best["thickness"].nm % 1000 == 0

    def thou(text: str) -> Length:
        return Length.inches(text)

    end = MM("25.2") + thou("0.1143")
    inch = BASE.but(
        shims=(shim("a", thou("0.0400")), shim("b", thou("0.0400"))),
        keyway={"reading": limits(end - thou("0.002"), end + thou("0.002")), "aim": end},
    )
    (cut,) = ways(inch.answer())[1]
    assert cut.best["thickness"].nm % 2540 == 0


def test_a_reading_without_any_latitude_has_its_shim_cut_to_the_nanometre() -> None:
    end = MM("28.1") + Length(7)
    exact = NO_SHIM_FOR_THE_END.but(keyway={"reading": limits(end, end), "aim": end})

    (cut,) = ways(exact.answer())[1]

    assert cut.best["thickness"].nm % MM("0.1").nm == 7
    assert cut.limits["thickness"] == (cut.best["thickness"],) * 2
    assert with_pieces(exact, [made(cut, 0)]).answer().ready


def test_with_no_shims_at_all_as_few_are_cut_as_the_way_has_steps() -> None:
    # 2.9 mm from the bare slot in steps of 1.25 mm at most; pass 1 may take up to 0.55 mm. Two shims, s1 < s2, give the
    # totals s1, s2, s1 + s2: 0.55, 1.75, 2.3 is short of 2.85, but 0, 1.25, 1.65, 2.9 comes out.
    makes = ways(NOTHING_TO_LIFT.answer())[1]

    assert [make.kind for make in makes] == [Kind.SHIM] * 2
    one_alone = with_pieces(NOTHING_TO_LIFT, [made(makes[0], 0)]).answer()
    assert not one_alone.ready


def test_where_shims_alone_would_do_no_bushing_is_turned_for_further_shims() -> None:
    assert {make.kind for make in NOTHING_TO_LIFT.answer().make} == {Kind.SHIM}
    assert {make.kind for make in BLOCKED["bushing and shims"].answer().make} == {Kind.BUSHING, Kind.SHIM}


def test_the_bushing_to_turn_clears_the_bore_by_half_a_thou_to_three() -> None:
    turned = next(make for make in NO_BUSHING.answer().make if make.kind is Kind.BUSHING)

    assert turned.limits["outside_diameter"] == (MM(25) - THOU * 3, MM(25) - Length(THOU.nm // 2))
    assert turned.best["outside_diameter"] == MM(25) - THOU
    assert turned.limits["slot_width"] == (MM(7), MM(7) + THOU * 4)
    assert turned.limits["web"][0] >= Length.inches("1/16")


def test_a_bushing_is_turned_as_long_as_the_hub_or_twice_and_its_best_slot_clears_the_broach_by_a_thou() -> (
    None
):
    turned = next(make for make in NO_BUSHING.answer().make if make.kind is Kind.BUSHING)
    low, high = turned.limits["length"]

    assert low >= MM(17)
    assert high == low * 2
    # The broach is 7 mm wide; what is turned for further shims has the same slot.
    assert turned.best["slot_width"] == MM(7) + THOU
    with_shims = next(make for make in NO_BUSHING.but(shims=()).answer().make if make.kind is Kind.BUSHING)
    assert with_shims.best["slot_width"] == MM(7) + THOU
    assert all("broach K" in make.text for make in NO_BUSHING.but(shims=()).answer().make)


def test_the_bushing_to_turn_hits_the_aim_at_its_best_in_the_fewest_passes() -> None:
    turned = next(make for make in NO_BUSHING.answer().make if make.kind is Kind.BUSHING)

    answer = with_pieces(NO_BUSHING, [made(turned, 0)]).answer()

    assert answer.plans[0].reading == MM("28.1")
    # From z1 + rise, 24.55 + 1.2 = 25.75 at most after pass 1, to 28.05 in steps of 1.25: three passes at the least.
    assert len(answer.plans[0].passes) >= 3
    assert f"{len(answer.plans[0].passes)} passes" in turned.text


def test_a_web_a_nanometre_out_of_its_limits_breaks_the_passes_or_the_reading() -> None:
    turned = next(make for make in NO_BUSHING.answer().make if make.kind is Kind.BUSHING)
    low, high = turned.limits["web"]
    best = turned.best["web"]

    # The reading moves with the web: 28.05 to 28.15 leaves 0.05 mm either way; entry may leave less.
    assert best - low <= MM("0.05")
    assert high - best <= MM("0.05")
    assert best - low == MM("0.05") or high - best == MM("0.05")


def test_a_shop_that_wants_closer_bushings_gets_limits_it_can_turn_to() -> None:
    close = NO_BUSHING.but(settings={"bushing_clearance": Length(THOU.nm // 5)})
    turned = next(make for make in close.answer().make if make.kind is Kind.BUSHING)

    low, high = turned.limits["outside_diameter"]
    assert low <= turned.best["outside_diameter"] <= high
    assert with_pieces(close, [made(turned, 0)]).answer().ready


def test_a_bore_too_small_for_any_bushing_asks_for_none() -> None:
    tiny = BASE.but(
        hub={"bore": limits(MM("1.5"), MM("1.5")), "outside_diameter": None, "material": None},
        keyway={"width": limits(MM("0.48"), MM("0.52")), "reading": limits(MM("1.7"), MM("1.75")), "aim": MM("1.72")},
        broach={
            "keyway_width": MM("0.5"), "body_width": MM("0.5"), "first_tooth_height": MM("0.6"),
            "last_tooth_height": MM("0.8"), "root_height": None,
        },
    )  # fmt: skip

    answer = tiny.answer()

    assert rules(answer) == [Rule.BUSHING_FIT]
    assert Kind.BUSHING not in [make.kind for make in answer.make]


def test_the_broach_to_look_for_cuts_the_keyway_and_has_room_for_its_chips() -> None:
    (found,) = EVEN_STEPS.answer().make
    best = found.best
    rise = Fraction(best["last_tooth_height"].nm - best["first_tooth_height"].nm, found.rising_teeth - 1)

    assert found.kind is Kind.BROACH
    assert MM("6.98") <= found.limits["keyway_width"][0] <= best["keyway_width"] <= MM("7.02")
    # Rule chip_room with gullets of P^2 / 9 and F = 2, and two teeth in the cut.
    assert 17_000_000 * rise * 2 <= Fraction(best["tooth_pitch"].nm ** 2, 9)
    assert found.limits["tooth_pitch"][1] * 2 <= MM(17)


def test_the_broach_to_look_for_is_ordered_in_whole_figures_with_the_pitch_that_its_chips_need() -> None:
    (found,) = EVEN_STEPS.answer().make
    best, rising = found.best, found.rising_teeth
    assert rising is not None
    total = best["last_tooth_height"] - best["first_tooth_height"]

    assert best["keyway_width"] == best["body_width"] == MM(7)
    # The hub is asked for in inches: whole thous over the teeth and of rise, whole sixteenths of pitch. Hundredths of an
    # inch would not hit a reading that has 0.05 mm either way.
    assert best["last_tooth_height"].nm % THOU.nm == 0
    assert total.nm % ((rising - 1) * THOU.nm) == 0
    assert best["tooth_pitch"].nm % Length.inches("1/16").nm == 0
    # With no shim the first tooth enters: at most a rise past the corners at 24.5 mm.
    rise = Fraction(total.nm, rising - 1)
    assert 12_000_000 + best["first_tooth_height"].nm <= 24_500_000 + rise
    # P^2 / 9 = 2 L rise holds the chip and a sixteenth less does not. Two teeth are in a hub of 17 mm.
    sixteenth = Length.inches("1/16")
    assert 9 * 2 * 17_000_000 * rise <= best["tooth_pitch"].nm ** 2
    assert 9 * 2 * 17_000_000 * rise > (best["tooth_pitch"] - sixteenth).nm ** 2
    assert found.limits["tooth_pitch"] == (best["tooth_pitch"], MM("8.5"))
    assert found.limits["body_width"][1] == MM("7.02")
    assert found.limits["body_width"][0] < MM("6.98")
    # The keyway's own limits bound the width, on a free press.
    free = EVEN_STEPS.but(press=None).answer().make[0]
    assert free.limits["keyway_width"] == (MM("6.98"), MM("7.02"))


def test_a_tooth_a_nanometre_out_of_its_limits_breaks_the_passes() -> None:
    (found,) = EVEN_STEPS.answer().make
    passes = len(with_pieces(EVEN_STEPS, [made(found, 0)]).answer().plans[0].passes)

    def as_good(**figures: Length) -> bool:
        answer = with_pieces(EVEN_STEPS, [made(found, 0, **figures)]).answer()
        return answer.ready and len(answer.plans[0].passes) <= passes

    for figure in ("first_tooth_height", "last_tooth_height"):
        low, high = found.limits[figure]
        assert low < found.best[figure] < high, figure
        assert as_good(**{figure: low})
        assert as_good(**{figure: high})
    # With both shims, 12 + 1.8 mm under it, the last tooth may go up until the reading is past 28.15 mm; down until the step of 1.8 mm is longer than
    # all teeth rise and one rise more.
    low, high = found.limits["last_tooth_height"]
    first, steps = found.best["first_tooth_height"], (found.rising_teeth or 0) - 1
    assert high == MM("28.15") - MM("13.8")
    assert (low - first - NM) * (steps + 1) < MM("1.8") * steps <= (low - first) * (steps + 1)
    assert not as_good(last_tooth_height=low - NM)
    assert not as_good(last_tooth_height=high + NM)
    # The first tooth may enter a rise past first metal and no further: its rise grows as it gets lower.
    assert not as_good(first_tooth_height=found.limits["first_tooth_height"][1] + NM)


def test_the_widest_broach_that_is_asked_for_still_suits_the_press() -> None:
    # A press that just takes the best design, whose force grows with the width that it cuts.
    (found,) = EVEN_STEPS.answer().make
    best = with_pieces(EVEN_STEPS, [made(found, 0)]).answer().plans[0]
    peak = max(one.force_high for one in best.passes if one.force_high is not None)
    tight = EVEN_STEPS.but(press={"rated_force": Force(round(peak / 0.7 * 1000) + 10)})

    answer = tight.answer()

    assert answer.make
    for makes in ways(answer).values():
        for what, pieces in at_each_end(makes):
            assert with_pieces(tight, pieces).answer().ready, what


@pytest.mark.parametrize("form", [BoreForm.BLIND, BoreForm.TAPERED])
def test_nothing_is_to_be_made_for_a_bore_that_no_push_broach_cuts(form: BoreForm) -> None:
    assert NO_BUSHING.but(hub={"bore_form": form}).answer().make == ()


def test_nothing_is_to_be_made_where_there_is_a_plan() -> None:
    assert BASE.answer().make == ()


def test_no_shim_is_advised_where_the_load_forbids_the_plan() -> None:
    weak = BASE.but(press={"rated_force": Force(1_000)})

    assert only_rule(weak.answer()) is Rule.PRESS_FORCE
    assert Kind.SHIM not in [make.kind for make in weak.answer().make]


def test_one_more_shim_that_would_save_a_pass_is_named_beside_a_ready_plan() -> None:
    # From 0.5 mm two steps of 1.25 mm lead to 2.9, but no stack lies between 1.6 and 1.75 mm: one more shim would.
    ready = BASE.but(settings={"units": Units.MM}, shims=(*BASE.shims, shim("d", MM("0.5"))))
    (first, *_) = ready.answer().plans
    assert len(first.passes) == 4
    assert first.tip is not None
    assert first.tip.endswith("would do it in 3 instead of 4")
    thickness = MM(first.tip.split("one more shim of ")[1].split(" mm")[0])

    saved = ready.but(shims=(*ready.shims, shim("more", thickness))).answer()

    assert len(saved.plans[0].passes) == 3
    assert saved.plans[0].tip is None


def test_no_tip_is_given_where_one_more_shim_would_not_do() -> None:
    # Pass 1 takes 0.55 mm at most, so only the new shim x could go first; 1.6 to x + 1.25 mm then needs another.
    answer = BASE.answer()

    assert len(answer.plans[0].passes) == 4
    assert answer.plans[0].tip is None


def test_no_tip_is_given_where_no_shim_could_save_a_pass() -> None:
    # 2.85 mm at the least, 0.55 at most in pass 1: two further steps of 1.25 mm are wanted whatever the shims.
    three = BASE.but(shims=(shim("a", MM("0.5")), shim("b", MM("1.7")), shim("c", MM("2.9"))))

    answer = three.answer()

    assert [one.shims for one in answer.plans[0].passes] == [MM("0.5"), MM("1.7"), MM("2.9")]
    assert answer.plans[0].tip is None
