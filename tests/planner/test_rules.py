"""Each rule holds at its exact limit and refuses a nanometre beyond, on either side."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import settings as hypothesis_settings
from hypothesis import strategies as st

from broachplan.lengths import Length, Limits
from broachplan.planner.answer import Rule
from broachplan.quantities import Area
from broachplan.settings import Settings
from broachplan.standards.named import Shape
from broachplan.tooling.hub import BoreForm
from broachplan.tooling.materials import Group
from tests.planner.setups import BASE, MM, NM, SetUp, limits, metal, only_rule, rules, shim, words_of

THOU = Length.inches("0.001")
# No load: the geometry alone, so that a figure can be moved without moving a force.
PLAIN = BASE.but(hub={"material": None})


def width(broach: Length) -> SetUp:
    return PLAIN.but(broach={"keyway_width": broach}, bushing={"slot_width": MM("7.05")})


def test_the_set_up_keeps_every_rule() -> None:
    answer = BASE.answer()

    assert answer.ready
    assert answer.refusals == ()
    assert [one.reading for one in answer.plans[0].passes] == [MM("25.2"), MM("26.2"), MM("27.2"), MM("28.1")]


def test_width_holds_at_both_limits_of_the_keyway() -> None:
    low, high = BASE.keyway.width.lower, BASE.keyway.width.upper

    assert width(low).answer().ready
    assert width(high).answer().ready
    assert only_rule(width(low - NM).answer()) is Rule.WIDTH
    assert only_rule(width(high + NM).answer()) is Rule.WIDTH


def test_a_bushing_may_be_as_large_as_the_smallest_bore_and_five_thou_smaller() -> None:
    def fitted(diameter: Length) -> SetUp:
        return BASE.but(bushing={"outside_diameter": diameter}, hub={"bore": limits(MM(25), MM("25.02"))})

    assert fitted(MM(25)).answer().ready
    assert fitted(MM(25) - THOU * 5).answer().ready
    assert only_rule(fitted(MM(25) + NM).answer()) is Rule.BUSHING_FIT
    assert only_rule(fitted(MM(25) - THOU * 5 - NM).answer()) is Rule.BUSHING_FIT


@pytest.mark.parametrize("wide", ["body_width", "keyway_width"])
def test_a_slot_may_be_as_wide_as_the_widest_of_the_broach_and_four_thou_wider(wide: str) -> None:
    other = {"body_width": "keyway_width", "keyway_width": "body_width"}[wide]

    def slotted(slot: Length) -> SetUp:
        return PLAIN.but(
            bushing={"slot_width": slot}, broach={wide: MM("7.01"), other: MM("6.99")}, shims=(shim("a", MM(1), MM("6.9")),),
            keyway={"reading": limits(MM("26.15"), MM("26.25")), "aim": MM("26.2")},
        )  # fmt: skip

    assert slotted(MM("7.01")).answer().ready
    assert slotted(MM("7.01") + THOU * 4).answer().ready
    assert only_rule(slotted(MM("7.01") - NM).answer()) is Rule.SLOT_FIT
    assert only_rule(slotted(MM("7.01") + THOU * 4 + NM).answer()) is Rule.SLOT_FIT


def test_a_shim_may_be_as_wide_as_the_slot_and_thirty_thou_narrower() -> None:
    def with_shims(wide: Length) -> SetUp:
        return BASE.but(
            shims=tuple(shim(tag, MM(t), wide) for tag, t in (("a", "1"), ("b", "1"), ("c", "0.9")))
        )

    assert with_shims(MM("7.02")).answer().ready
    assert with_shims(MM("7.02") - THOU * 30).answer().ready
    assert only_rule(with_shims(MM("7.02") + NM).answer()) is Rule.SHIM_FIT
    assert only_rule(with_shims(MM("7.02") - THOU * 30 - NM).answer()) is Rule.SHIM_FIT


def test_a_stack_holds_no_more_shims_than_the_shop_allows() -> None:
    fifths = tuple(shim(f"s{i}", MM("0.58")) for i in range(5))

    assert only_rule(BASE.but(shims=fifths).answer()) is Rule.READING
    assert BASE.but(shims=fifths, settings={"stack_most": 5}).answer().ready


def test_the_first_tooth_may_stand_one_rise_past_first_metal() -> None:
    # web + 12.0 <= 24.5 + 0.05, so a web of 12.55 mm at most; the reading is met from there.
    def webbed(web: Length) -> SetUp:
        end = web + MM("13.2") + MM("0.9")
        return PLAIN.but(bushing={"web": web}, keyway={"reading": limits(end - NM, end + NM), "aim": end})

    assert webbed(MM("12.55")).answer().ready
    assert only_rule(webbed(MM("12.55") + NM).answer()) is Rule.ENTRY
    assert "0.00000004 in too far past first metal" in words_of(webbed(MM("12.55") + NM).answer(), Rule.ENTRY)


def test_how_far_the_first_tooth_is_too_high_is_given_exactly_even_with_no_shim_at_all() -> None:
    blocked = PLAIN.but(bushing={"web": MM("12.55") + THOU * 12}, shims=()).answer()

    assert only_rule(blocked) is Rule.ENTRY
    assert "the first tooth is 0.0120 in too far past first metal" in words_of(blocked, Rule.ENTRY)
    assert blocked.refusals[0].nearest[0].short_by == (THOU * 12).nm


def test_the_first_pass_must_read_past_first_metal() -> None:
    # The bare slot reads web + 13.2: with a web of 11.3 mm just 24.5, where the metal begins.
    def webbed(web: Length, thickness: Length) -> SetUp:
        end = web + MM("13.2") + thickness
        drawing = {"reading": limits(end, end), "aim": end}
        return PLAIN.but(bushing={"web": web}, keyway=drawing, shims=(shim("a", thickness),))

    past = webbed(MM("11.3") + NM, MM("1.25")).answer()
    assert [one.shims for one in past.plans[0].passes] == [Length(0), MM("1.25")]
    assert only_rule(webbed(MM("11.3"), MM("1.25") + NM).answer()) is Rule.ENTRY


def test_the_stack_that_the_first_pass_needs_is_given_to_the_nanometre() -> None:
    # Web 11 mm: pass 1 needs shims over 24.5 - 24.2 = 0.3 and up to 24.55 - 23 = 1.55 mm.
    blocked = PLAIN.but(bushing={"web": MM(11)}, shims=(shim("a", MM("0.2")), shim("b", MM(2)))).answer()

    assert only_rule(blocked) is Rule.ENTRY
    # 0.300001 / 25.4 = 0.011811 and 1.55 / 25.4 = 0.061024, each rounded to the side where it holds.
    assert words_of(blocked, Rule.ENTRY) == (
        "the first pass needs shims of 0.0119 in to 0.0610 in; the nearest stack makes 0.0079 in"
    )
    assert blocked.refusals[0].nearest[0].short_by == 100_001


def test_with_no_shim_at_all_the_wanted_stack_is_given_exactly() -> None:
    blocked = PLAIN.but(bushing={"web": MM(11)}, shims=()).answer()

    assert words_of(blocked, Rule.ENTRY) == (
        "the first pass needs shims of 0.0119 in to 0.0610 in; the nearest stack makes 0.0000 in"
    )


def test_a_pass_may_go_the_whole_rise_of_the_broach_and_one_rise_further() -> None:
    # 13.2 - 12.0 + 0.05 = 1.25 mm from one pass to the next.
    def stepped(step: Length) -> SetUp:
        end = MM("25.2") + step
        return PLAIN.but(keyway={"reading": limits(end, end), "aim": end}, shims=(shim("a", step),))

    assert stepped(MM("1.25")).answer().ready
    assert only_rule(stepped(MM("1.25") + NM).answer()) is Rule.BITE


def test_a_step_of_a_rise_that_is_no_whole_nanometre_is_cut_down_to_one() -> None:
    # 1 mm over 7 teeth: 166 666.67 nm a tooth, so 1 166 666 nm at most.
    def stepped(step: int) -> SetUp:
        end = MM("25.2") + Length(step)
        teeth = {"first_tooth_height": MM("12.2"), "rising_teeth": 7, "overall_length": MM(242)}
        return PLAIN.but(
            broach=teeth, keyway={"reading": limits(end, end), "aim": end}, shims=(shim("a", Length(step)),)
        )

    assert stepped(1_000_000 + 1_000_000 // 6).answer().ready
    assert only_rule(stepped(1_000_000 + 1_000_000 // 6 + 1).answer()) is Rule.BITE


def test_the_last_reading_may_lie_on_either_limit() -> None:
    def read(lower: Length, upper: Length) -> SetUp:
        return PLAIN.but(keyway={"reading": limits(lower, upper), "aim": lower})

    assert read(MM("28.1"), MM("28.2")).answer().ready
    assert read(MM("28"), MM("28.1")).answer().ready
    assert read(MM("28.1"), MM("28.1")).answer().ready
    assert only_rule(read(MM("28.1") + NM, MM("28.15")).answer()) is Rule.READING
    assert only_rule(read(MM("28.05"), MM("28.1") - NM).answer()) is Rule.READING


def test_a_bare_slot_that_reads_past_the_limits_is_refused() -> None:
    blocked = PLAIN.but(keyway={"reading": limits(MM("25"), MM("25.1")), "aim": MM(25)}).answer()

    assert only_rule(blocked) is Rule.READING
    assert "reads 0.9921 in with no shim, past the limits" in words_of(blocked, Rule.READING)
    assert blocked.refusals[0].nearest[0].short_by == MM("0.1").nm


def test_two_teeth_are_always_in_the_cut() -> None:
    def long(length: Length, stack: int = 1) -> SetUp:
        return PLAIN.but(hub={"length": length, "stack": stack})

    assert long(MM(16)).answer().ready
    assert only_rule(long(MM(16) - NM).answer()) is Rule.ENGAGEMENT
    assert long(MM(8), 2).answer().ready
    assert only_rule(long(MM(8) - NM, 2).answer()) is Rule.ENGAGEMENT


@given(st.integers(1_000_000, 15_999_999))
@hypothesis_settings(max_examples=30, deadline=None)
def test_as_many_hubs_as_are_said_to_be_stacked_do_hold(nm: int) -> None:
    blocked = PLAIN.but(hub={"length": Length(nm)}).answer()
    text = words_of(blocked, Rule.ENGAGEMENT)
    hubs = int(text.split("stack ")[1].split()[0])

    assert nm * hubs >= 16_000_000 > nm * (hubs - 1)


@pytest.mark.parametrize(("group", "factor"), [(Group.BRITTLE, Fraction(3, 2)), (Group.DUCTILE, Fraction(2)), (None, Fraction(2))])  # fmt: skip
def test_the_gullet_holds_its_factor_times_the_chip(group: Group | None, factor: Fraction) -> None:
    # L x rise = 17 x 0.05 mm2 in nm2, times F.
    room = int(17_000_000 * 50_000 * factor)

    def gullet(nm2: int) -> SetUp:
        return PLAIN.but(broach={"gullet_area": Area(nm2)}, hub={"material": metal(group) if group else None})

    assert gullet(room).answer().ready
    assert only_rule(gullet(room - 1).answer()) is Rule.CHIP_ROOM


def test_a_gullet_nobody_measured_is_taken_as_a_ninth_of_the_pitch_squared() -> None:
    # Handbook layout: P^2 / 9 = 64 / 9 mm2 against L x 0.05 x 2, so L = 640 / 9 = 71.1 mm at most.
    longest = Length(640_000_000 // 9)

    assert PLAIN.but(hub={"length": longest}, press=None).answer().ready
    blocked = PLAIN.but(hub={"length": longest + NM}, press=None).answer()
    assert only_rule(blocked) is Rule.CHIP_ROOM
    # 71.111111 mm is 2.79965 in: what is at most is rounded down.
    assert "a chip from 2.7997 in does not fit the gullet: at most 2.7996 in of cut" in words_of(
        blocked, Rule.CHIP_ROOM
    )


def test_the_factors_of_chip_room_are_the_shops_to_set() -> None:
    area = {"gullet_area": Area(17_000_000 * 50_000 * 3)}

    assert PLAIN.but(broach=area, settings={"chip_factor_ductile": Fraction(3)}).answer().ready
    tighter = {"chip_factor_ductile": Fraction(300_000_001, 100_000_000)}
    assert only_rule(PLAIN.but(broach=area, settings=tighter).answer()) is Rule.CHIP_ROOM


def test_a_blind_bore_is_refused_with_what_could_cut_it_instead() -> None:
    blocked = BASE.but(hub={"bore_form": BoreForm.BLIND}).answer()

    assert only_rule(blocked) is Rule.THROUGH
    assert "slotted or shaped" in words_of(blocked, Rule.THROUGH)
    assert (blocked.plans, blocked.make) == ((), ())


def test_a_tapered_bore_is_refused() -> None:
    blocked = BASE.but(hub={"bore_form": BoreForm.TAPERED}).answer()

    assert only_rule(blocked) is Rule.TAPER
    assert "parallel shims cut parallel to the bore" in words_of(blocked, Rule.TAPER)


def test_a_taper_key_is_refused_with_its_rise_of_an_eighth_of_an_inch_in_a_foot() -> None:
    # ASME B17.1: 1/8 in a foot, so 1/8 in over a hub of 12 in.
    foot = BASE.but(hub={"length": Length.inches(12)}, keyway={"shape": Shape.TAPER}).answer()

    assert only_rule(foot) is Rule.TAPER
    assert "0.1250 in over this hub" in words_of(foot, Rule.TAPER)
    assert "the deep end" in words_of(foot, Rule.TAPER)


@pytest.mark.parametrize(("tag", "kind"), [("K", "broach"), ("G", "bushing")])
def test_a_piece_that_is_not_on_the_shelf_is_refused_with_the_reason(tag: str, kind: str) -> None:
    blocked = BASE.but(off={tag: "lent to Kim since 2031-05-02"}).answer()

    assert only_rule(blocked) is Rule.ON_SHELF
    assert words_of(blocked, Rule.ON_SHELF) == "lent to Kim since 2031-05-02"
    assert getattr(blocked.refusals[0].nearest[0], kind) == tag


def test_a_shim_that_is_not_on_the_shelf_goes_into_no_stack() -> None:
    spare = (*BASE.shims, shim("d", MM(1)))

    answer = BASE.but(shims=spare, off={"a": "worn"}).answer()
    assert {piece.tag for one in answer.plans[0].passes for piece in one.stack} == {"b", "c", "d"}
    assert only_rule(BASE.but(off={"c": "worn"}).answer()) is Rule.READING


@pytest.mark.parametrize(
    ("kind", "figure", "label"),
    [
        ("broach", "keyway_width", "keyway width"),
        ("broach", "first_tooth_height", "height over first tooth"), ("broach", "last_tooth_height", "height over last tooth"),
        ("bushing", "outside_diameter", "outside diameter"), ("bushing", "slot_width", "slot width"), ("bushing", "web", "web"),
    ],
)  # fmt: skip
def test_a_piece_that_lacks_a_needed_figure_is_refused_by_its_name(
    kind: str, figure: str, label: str
) -> None:
    blocked = BASE.but(**{kind: {figure: None}}).answer()

    assert only_rule(blocked) is Rule.NOT_MEASURED
    assert words_of(blocked, Rule.NOT_MEASURED) == f"not measured: {label}"


@pytest.mark.parametrize("figure", ["thickness", "width"])
def test_a_shim_that_lacks_a_figure_goes_into_no_stack(figure: str) -> None:
    unknown = shim("c", MM("0.9"))
    bare = type(unknown)(tag="c", **{"thickness": unknown.thickness, "width": unknown.width} | {figure: None})

    assert only_rule(BASE.but(shims=(*BASE.shims[:2], bare)).answer()) is Rule.READING


def test_a_piece_that_fails_in_several_ways_is_listed_under_its_first_rule() -> None:
    wrong = {"keyway_width": MM(8), "tooth_pitch": MM(9), "gullet_area": Area(1), "overall_length": None}
    off = {"K": "lent"}

    assert only_rule(PLAIN.but(broach=wrong, off=off).answer()) is Rule.WIDTH
    unmeasured = wrong | {"keyway_width": MM(7), "first_tooth_height": None}
    assert only_rule(PLAIN.but(broach=unmeasured, off=off).answer()) is Rule.NOT_MEASURED
    short = wrong | {"keyway_width": MM(7)}
    assert only_rule(PLAIN.but(broach=short, off=off).answer()) is Rule.ENGAGEMENT
    full = short | {"tooth_pitch": MM(8)}
    assert only_rule(PLAIN.but(broach=full, off=off).answer()) is Rule.CHIP_ROOM
    assert only_rule(PLAIN.but(off=off).answer()) is Rule.ON_SHELF


def test_refusals_come_in_the_order_of_the_rules() -> None:
    tight = PLAIN.but(broach={"keyway_width": MM(8)}, bushing={"outside_diameter": MM(26)}, off={"G": "lent"})
    answer = tight.answer()

    assert rules(answer) == [Rule.WIDTH, Rule.BUSHING_FIT]
    order = list(Rule)
    assert rules(answer) == sorted(rules(answer), key=order.index)


def test_a_broach_as_wide_as_the_keyway_lower_limit_cuts_with_its_own_width() -> None:
    # First metal for 6.98 mm is (25 + sqrt(25^2 - 6.98^2)) / 2 = 24.5015 mm: one rise past it is a web of 12.5515.
    narrow = {"keyway_width": MM("6.98"), "body_width": MM(7)}
    z1 = Length((25_000_000 * 10 + round((25_000_000**2 - 6_980_000**2) ** 0.5 * 10)) // 20)

    def webbed(web: Length) -> SetUp:
        end = web + MM("13.2")
        return PLAIN.but(
            broach=narrow, bushing={"web": web}, keyway={"reading": limits(end, end), "aim": end}
        )

    assert webbed(z1 + MM("0.05") - MM(12)).answer().ready
    assert only_rule(webbed(z1 + MM("0.05") - MM(12) + NM).answer()) is Rule.ENTRY


def test_the_cut_is_reckoned_at_the_smallest_bore() -> None:
    # A bore of 25 to 25.1 mm is 25 for the cut, whatever its nominal size.
    loose = PLAIN.but(
        hub={"bore": Limits(MM("25.1"), MM(25), MM("25.1"))},
        bushing={"web": MM("12.55")},
        keyway={"reading": limits(MM("25.75"), MM("25.75")), "aim": MM("25.75")},
    )

    assert loose.answer().ready
    assert only_rule(loose.but(bushing={"web": MM("12.55") + NM}).answer()) is Rule.ENTRY


def test_limits_of_the_rules_are_the_shops_to_set() -> None:
    wider = Settings(bushing_clearance=MM("0.5"), slot_clearance=MM("0.2"), shim_clearance=MM(1))
    odd = PLAIN.but(
        settings=wider,
        bushing={"outside_diameter": MM("24.5"), "slot_width": MM("7.2")},
        shims=tuple(shim(s.tag, s.thickness, MM("6.2")) for s in BASE.shims),
    )

    assert odd.answer().ready
    assert only_rule(odd.but(bushing={"outside_diameter": MM("24.5") - NM}).answer()) is Rule.BUSHING_FIT
    assert only_rule(odd.but(bushing={"slot_width": MM("7.2") + NM}).answer()) is Rule.SLOT_FIT
    assert only_rule(odd.but(shims=(shim("a", MM(1), MM("6.2") - NM),)).answer()) is Rule.SHIM_FIT
