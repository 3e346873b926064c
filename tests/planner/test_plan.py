"""The whole plan: which of several is first, what each pass says, what is shown of the rest, and that the order of pieces changes nothing."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from math import sqrt
from typing import Any

import pytest
from hypothesis import given
from hypothesis import settings as hypothesis_settings
from hypothesis import strategies as st

from broachplan.crib.shelf import Beyond, Shelf
from broachplan.errors import InputError
from broachplan.lengths import Length
from broachplan.planner.answer import Answer, Rule, Warn
from broachplan.planner.plan import plan
from broachplan.quantities import Force
from broachplan.settings import Settings
from broachplan.tooling.hub import BoreForm
from broachplan.tooling.materials import CuttingForce, Group, Material
from broachplan.tooling.pieces import Broach, Bushing
from tests.planner.setups import BASE, MM, SetUp, caution, limits, metal, rules, shim, totals_of_best

PLAIN = BASE.but(hub={"material": None})


def broach(tag: str, **more: Any) -> Broach:
    return replace(BASE.broach, tag=tag, **more)


def bushing(tag: str, **more: Any) -> Bushing:
    return replace(BASE.bushing, tag=tag, **more)


def pairs(answer: Answer) -> list[tuple[str, str]]:
    return [(one.broach.tag, one.bushing.tag) for one in answer.plans]


# -- what a pass says ------------------------------------------------------------------------------------------


def test_each_pass_reads_web_and_shims_and_the_last_tooth() -> None:
    (first, *_) = BASE.answer().plans

    assert [one.number for one in first.passes] == [1, 2, 3, 4]
    for one in first.passes:
        assert one.shims == sum((s.thickness for s in one.stack), Length(0))
        assert one.reading == MM(12) + one.shims + MM("13.2")
    assert first.reading == first.passes[-1].reading == MM("28.1")


def test_each_pass_says_what_its_teeth_take() -> None:
    # Pass 1 begins clear at 24.0 against metal at 24.5: teeth 0 to 10 take nothing, tooth 11 is 0.05 past.
    # Pass 2 begins at 25.0 against 25.2: 0 to 4 take nothing. The last goes 0.9 past 27.2, from 26.9: 0 to 6.
    first, second, _, last = BASE.answer().plans[0].passes

    assert (first.teeth_cutting, second.teeth_cutting, last.teeth_cutting) == (25 - 11, 25 - 5, 25 - 7)
    assert {one.largest_bite for one in (first, second, last)} == {MM("0.05")}
    assert {one.first_bite for one in (first, second, last)} == {Length(0)}
    # floor(17 / 8) + 1 teeth at once.
    assert {one.teeth_in_cut for one in (first, second, last)} == {3}


def test_a_first_tooth_past_the_metal_says_its_bite() -> None:
    end = MM("25.72")
    (only,) = (
        PLAIN.but(bushing={"web": MM("12.52")}, keyway={"reading": limits(end, end), "aim": end})
        .answer()
        .plans[0]
        .passes
    )

    assert (only.first_bite, only.largest_bite, only.teeth_cutting) == (MM("0.02"), MM("0.05"), 25)


def test_low_forces_are_the_low_source_and_high_ones_the_high_source_with_a_dulled_edge() -> None:
    # Three full teeth of 7 x 0.05 mm2: at 1000 N/mm2 1050 N, at 2000 x 1.3 N/mm2 2730 N.
    both = Material("m", Group.DUCTILE, CuttingForce(1000, 0, "", "read"), CuttingForce(2000, 0, "", "read"))
    last = BASE.but(hub={"material": both}, settings=Settings()).answer().plans[0].passes[-1]

    assert last.force_low == pytest.approx(1050)
    assert last.force_high == pytest.approx(2730)


# -- which plan is first ---------------------------------------------------------------------------------------


def test_fewer_passes_go_before_all_else() -> None:
    # A broach that rises 1.8 mm instead of 1.2 mm takes fewer passes to the same reading.
    tall = broach(
        "Z", first_tooth_height=MM("11.4"), rising_teeth=37, overall_length=MM(338), root_height=None
    )
    answer = PLAIN.but(more=(tall,), press=None, keyway={"aim": MM("28.1")}).answer()

    counts = [len(one.passes) for one in answer.plans]
    assert counts == sorted(counts)
    assert answer.plans[0].broach.tag == "Z"
    assert counts[0] < counts[1]


def test_of_as_many_passes_the_nearer_tenth_of_the_aim_goes_first() -> None:
    # 28.1 against 28.111 mm, tenths of 0.1 mm: 0 and 1. The narrower broach cuts lighter, which comes after.
    lighter = broach(
        "A", keyway_width=MM("6.99"), first_tooth_height=MM("12.011"), last_tooth_height=MM("13.211")
    )
    answer = BASE.but(more=(lighter,)).answer()

    assert pairs(answer) == [("K", "G"), ("A", "G")]


def test_within_a_tenth_the_lighter_passes_go_first_and_only_where_a_force_is_known() -> None:
    # Both bodies are alike; the narrower keyway cuts less: 6.99 mm against 7.
    narrow = broach("Z", keyway_width=MM("6.99"))

    assert pairs(BASE.but(more=(narrow,)).answer()) == [("Z", "G"), ("K", "G")]
    assert pairs(PLAIN.but(more=(narrow,)).answer()) == [("K", "G"), ("Z", "G")]


def test_then_fewer_shims_are_handled() -> None:
    # 0, 1, 2, 2.9 out of a, b and c: 0 + 1 + 2 + 3 = 6 shims. One of 2 mm and one of 2.9 mm spare three.
    more = BASE.but(shims=(*BASE.shims, shim("x", MM(2)), shim("y", MM("2.9")))).answer()

    assert [[s.tag for s in one.stack] for one in BASE.answer().plans[0].passes][-1] == ["a", "b", "c"]
    assert [len(one.stack) for one in more.plans[0].passes] == [0, 1, 1, 1]


def test_then_larger_totals_come_earlier_so_that_the_light_pass_is_last() -> None:
    # 1.2 mm and 1.0 mm as first step: both lead on in as many passes with as many shims.
    shims = (shim("p", MM("1.0")), shim("q", MM("1.2")), shim("r", MM("2.1")))
    end = MM("27.3")
    answer = PLAIN.but(shims=shims, keyway={"reading": limits(end, end), "aim": end}).answer()

    assert totals_of_best(answer) == [Length(0), MM("1.2"), MM("2.1")]


def test_larger_totals_earlier_decide_between_pairs_too() -> None:
    # Both read 28.1 mm in four passes, 0, 1, ... : the one by 2.0 mm and the other, whose slot is too narrow for b, by
    # 1.9 mm. Neither peaks higher nor handles fewer shims.
    shims = (shim("a", MM(1)), shim("b", MM(1), MM("7.01")), shim("c", MM("0.9")), shim("d", MM("0.9")))
    narrow = bushing("A", web=MM("12.1"), slot_width=MM("7.005"))
    answer = PLAIN.but(shims=shims, more=(narrow,), press=None).answer()

    assert [[one.shims for one in plan.passes] for plan in answer.plans] == [
        [Length(0), MM(1), MM(2), MM("2.9")],
        [Length(0), MM(1), MM("1.9"), MM("2.8")],
    ]
    assert pairs(answer) == [("K", "G"), ("K", "A")]


def test_then_the_exact_distance_from_the_aim_decides() -> None:
    # 28.103 and 28.101 mm are both in the nearest tenth.
    shims = (*BASE.shims[:2], shim("c", MM("0.903")), shim("d", MM("0.901")))

    assert PLAIN.but(shims=shims).answer().plans[0].reading == MM("28.101")


def test_at_last_the_smaller_tags_by_code_point_decide() -> None:
    answer = PLAIN.but(more=(broach("k"), broach("A2"), broach("A10"), bushing("g"))).answer()

    assert [tag for tag, with_ in pairs(answer) if with_ == "G"] == ["A10", "A2", "K", "k"]
    assert pairs(answer)[:2] == [("A10", "G"), ("A10", "g")]
    twins = PLAIN.but(
        shims=(shim("b", MM(1)), shim("B", MM(1)), shim("a", MM(1)), shim("c", MM("0.9")))
    ).answer()
    assert [[s.tag for s in one.stack] for one in twins.plans[0].passes] == [
        [],
        ["B"],
        ["B", "a"],
        ["B", "a", "c"],
    ]


def test_every_pair_that_can_has_one_plan() -> None:
    answer = PLAIN.but(more=(broach("L"), bushing("H"), bushing("wide", slot_width=MM("7.2")))).answer()

    assert sorted(pairs(answer)) == [("K", "G"), ("K", "H"), ("L", "G"), ("L", "H")]
    assert rules(answer) == [Rule.SLOT_FIT]
    assert answer.refusals[0].count == 2


# -- what is shown of the rest ---------------------------------------------------------------------------------


def a_full_crib() -> SetUp:
    wrong = [broach(f"w{i}", keyway_width=MM(8) + MM("0.1") * i, body_width=MM(8)) for i in range(5)]
    small = [bushing(f"s{i}", outside_diameter=MM(20) - MM(1) * i) for i in range(4)]
    return PLAIN.but(more=(*wrong[::-1], *small[::-1], broach("bare", last_tooth_height=None), bushing("out")), off={"out": "worn"})  # fmt: skip


def test_refusals_are_counted_and_the_three_nearest_are_listed_nearest_first() -> None:
    answer = a_full_crib().answer()

    shown = {refusal.rule: refusal for refusal in answer.refusals}
    assert {rule: refusal.count for rule, refusal in shown.items()} == {
        Rule.WIDTH: 5, Rule.BUSHING_FIT: 4, Rule.NOT_MEASURED: 1, Rule.ON_SHELF: 1,
    }  # fmt: skip
    assert [near.broach for near in shown[Rule.WIDTH].nearest] == ["w0", "w1", "w2"]
    assert [near.bushing for near in shown[Rule.BUSHING_FIT].nearest] == ["s0", "s1", "s2"]
    assert all(near.bushing is None for near in shown[Rule.WIDTH].nearest)


def test_why_all_shows_every_refusal() -> None:
    answer = a_full_crib().answer(why="all")

    for refusal in answer.refusals:
        assert len(refusal.nearest) == refusal.count
        assert [near.short_by for near in refusal.nearest] == sorted(
            near.short_by for near in refusal.nearest
        )


def test_why_with_a_tag_shows_only_that_pieces_refusals() -> None:
    shown = [near for refusal in a_full_crib().answer(why="w4").refusals for near in refusal.nearest]

    assert [(near.broach, near.bushing) for near in shown] == [("w4", None)]
    assert "cuts 0.3307 in" in shown[0].text


def test_why_with_a_shim_or_a_press_shows_its_state() -> None:
    lent = PLAIN.but(off={"a": "lent to Kim"})

    assert "shim a: lent to Kim" in lent.answer(why="a").notes
    assert "shim b: on the shelf, and used wherever it fits" in lent.answer(why="b").notes
    assert "press P: on the shelf, and used wherever it fits" in lent.answer(why="P").notes


def test_why_changes_neither_plans_nor_counts() -> None:
    plain, shown = a_full_crib().answer(), a_full_crib().answer(why="all")

    assert plain.plans == shown.plans
    assert [(r.rule, r.count) for r in plain.refusals] == [(r.rule, r.count) for r in shown.refusals]


def test_why_a_tag_that_is_not_there_is_refused() -> None:
    with pytest.raises(InputError, match="why: read “X9”; write all, or the tag of a piece in the crib"):
        BASE.answer(why="X9")


def test_pieces_beyond_the_bounds_are_counted_and_the_nearest_are_listed() -> None:
    far = broach("far", keyway_width=MM(8), body_width=MM(8))
    shelf = replace(BASE.shelf, broaches_beyond=Beyond(41, nearest_broaches=(far,)))

    answer = plan(BASE.hub, BASE.keyway, shelf, BASE.settings)

    assert [(r.rule, r.count) for r in answer.refusals] == [(Rule.WIDTH, 41)]
    assert [near.broach for near in answer.refusals[0].nearest] == ["far"]
    assert answer.ready


def test_an_empty_crib_says_so() -> None:
    answer = plan(BASE.hub, BASE.keyway, Shelf(), BASE.settings)

    assert (answer.ready, answer.plans, answer.refusals) == (False, (), ())
    assert {"the crib has no broaches yet", "the crib has no bushings yet"} <= set(answer.notes)
    # Those beyond the bounds are in the crib as well.
    one_more = replace(BASE.shelf, broaches_beyond=Beyond(1), bushings_beyond=Beyond(1))
    for shelf in (one_more, replace(one_more, broaches=(), bushings=())):
        assert not any("yet" in note for note in plan(BASE.hub, BASE.keyway, shelf, BASE.settings).notes)


def test_notes_say_what_nobody_gave() -> None:
    silent = {"bore_toleranced": False, "outside_diameter": None, "hardness": None}
    bare = BASE.but(hub=silent, shims=()).answer().notes

    assert any("taken as exact" in note for note in bare)
    assert any("no hub outside diameter" in note for note in bare)
    assert any("no hardness" in note for note in bare)
    assert BASE.but(settings={"wall_least": MM(3)}).answer().notes == ()


def test_the_plan_or_its_notes_name_what_a_hub_lacks() -> None:
    answer = BASE.but(hub={"outside_diameter": None, "hardness": None}).answer()

    shown = caution(answer, Warn.NOT_CHECKED)
    assert shown == (
        "hub: not checked: the throat of the press, the shop's limit of hardness (35 HRC). "
        "Not known: outside diameter (caliper or rule); hardness (file or tester)"
    )
    assert not any("hardness" in note or "diameter" in note for note in answer.notes)


# -- the same crib, the same answer ----------------------------------------------------------------------------


@hypothesis_settings(max_examples=25, deadline=None)
@given(st.data(), st.sampled_from([a_full_crib(), BASE, PLAIN.but(shims=BASE.shims[:2])]))
def test_a_shuffled_crib_gives_the_same_answer(data: st.DataObject, setup: SetUp) -> None:
    shelf = setup.shelf
    mixed = replace(
        shelf,
        **{
            kind: tuple(data.draw(st.permutations(getattr(shelf, kind))))
            for kind in ("broaches", "bushings", "shims", "presses")
        },
    )

    assert plan(setup.hub, setup.keyway, mixed, setup.settings) == plan(
        setup.hub, setup.keyway, shelf, setup.settings
    )


def test_the_answer_carries_what_it_was_asked_and_by_which_settings() -> None:
    answer = BASE.answer()

    assert (answer.hub, answer.keyway, answer.settings) == (BASE.hub, BASE.keyway, BASE.settings)


@hypothesis_settings(max_examples=25, deadline=None)
@given(st.integers(500_000, 1_250_000), st.integers(100_000, 3_000_000), st.booleans())
def test_a_plan_keeps_the_rules_on_entry_bites_and_reading(thick: int, other: int, heavy: bool) -> None:
    shims = (*(shim(f"t{i}", Length(thick)) for i in range(3)), shim("o", Length(other)))
    end = MM("25.2").nm + 2 * thick + other
    drawing = {"reading": limits(Length(end - 1000), Length(end + 1000)), "aim": Length(end)}
    setup = BASE.but(shims=shims, keyway=drawing, hub={"material": metal() if heavy else None})

    answer = setup.answer()

    for one in answer.plans:
        lifts = [step.shims.nm for step in one.passes]
        z1 = (25_000_000 + sqrt(25_000_000**2 - 7_000_000**2)) / 2
        assert 24_000_000 + lifts[0] <= z1 + 50_000
        assert 25_200_000 + lifts[0] > z1
        assert all(0 < b - a <= 1_250_000 for a, b in pairwise(lifts))
        assert abs(one.reading.nm - end) <= 1000
    if other <= 1_250_000:
        assert answer.ready


def test_a_plan_lists_the_homes_of_its_pieces_in_the_order_of_fetching() -> None:
    homes = {"K": "A/1", "G": "B/1", "a": "C/1", "b": "C/1", "P": "bay 3", "c": "", "another": "A/2"}
    known = {tag: home for tag, home in homes.items() if home}

    best = plan(BASE.hub, BASE.keyway, replace(BASE.shelf, homes=known), BASE.settings).plans[0]

    tags = [tag for tag, _ in best.homes]
    assert tags[:2] == ["K", "G"]
    assert tags[-1] == "P"
    assert best.fetch["C/1"] == tuple(tag for tag in tags if tag in "ab")
    assert all(home == known[tag] for tag, home in best.homes)


BLOCKED = {
    "by the hub": BASE.but(hub={"bore_form": BoreForm.BLIND}),
    "by the presses": BASE.but(off={"P": "lent to Kim"}),
    "by the pieces": BASE.but(bushing={"web": None}),
    "by the passes": BASE.but(shims=()),
}


@pytest.mark.parametrize("what", BLOCKED)
def test_a_blocked_answer_carries_its_question_and_shows_only_what_why_asks_for(what: str) -> None:
    setup = BLOCKED[what]
    answer = setup.answer()

    assert not answer.ready
    assert (answer.hub, answer.keyway, answer.settings) == (setup.hub, setup.keyway, setup.settings)
    assert answer.refusals
    # Another broach's refusals do not concern K; what forbids all of them is shown all the same.
    many = replace(setup, more=tuple(broach(f"far {n}", keyway_width=MM(6 - n)) for n in range(5)))
    shown = [near for refusal in many.answer(why="K").refusals for near in refusal.nearest]
    assert not any(near.broach and near.broach.startswith("far") for near in shown)


def test_notes_stand_beside_a_refusal_by_the_presses_too() -> None:
    silent = BASE.but(off={"P": "lent to Kim"}, hub={"hardness": None})

    assert any("no hardness given" in note for note in silent.answer().notes)


def test_bushings_beyond_the_bounds_are_counted_and_the_nearest_are_listed() -> None:
    far = bushing("far", outside_diameter=MM(30))
    shelf = replace(BASE.shelf, bushings_beyond=Beyond(41, nearest_bushings=(far,)))

    (refusal,) = plan(BASE.hub, BASE.keyway, shelf, BASE.settings).refusals

    assert (refusal.rule, refusal.count) == (Rule.BUSHING_FIT, 41)
    assert [(near.broach, near.bushing) for near in refusal.nearest] == [(None, "far")]
    assert "too large for a bore" in refusal.nearest[0].text


def test_a_pair_that_is_refused_is_named_with_both_sides() -> None:
    (slot,) = BASE.but(bushing={"slot_width": MM("7.2")}).answer().refusals
    assert [(near.broach, near.bushing) for near in slot.nearest] == [("K", "G")]
    (opening,) = BASE.but(press={"opening": MM(200)}).answer().refusals
    assert [near.broach for near in opening.nearest] == ["K"]


def test_of_refusals_that_fail_alike_the_smaller_tags_come_first() -> None:
    alike = [broach(tag, keyway_width=MM("7.03")) for tag in ("d", "c", "b", "a")]
    (refusal,) = BASE.but(more=tuple(alike)).answer().refusals
    assert [near.broach for near in refusal.nearest] == ["a", "b", "c"]

    wide = [bushing(tag, outside_diameter=MM(26)) for tag in ("d", "c", "b", "a")]
    (refusal,) = BASE.but(more=tuple(wide)).answer().refusals
    assert [near.bushing for near in refusal.nearest] == ["a", "b", "c"]


def test_a_broach_that_is_due_is_planned_with_a_caution() -> None:
    shelf = replace(BASE.shelf, due={"K": "due for inspection"})
    best = plan(BASE.hub, BASE.keyway, shelf, BASE.settings).plans[0]

    assert [one.text for one in best.cautions if one.rule is Warn.DUE] == ["K is due for inspection"]
    assert not any(one.rule is Warn.DUE for one in BASE.answer().plans[0].cautions)


# -- how many plans are worked out in full ---------------------------------------------------------------------


def test_the_best_twelve_pairs_are_worked_out_and_the_others_counted() -> None:
    others = tuple(replace(BASE.bushing, tag=f"G{number:02}") for number in range(20))
    crowd = BASE.but(more=others)

    usual, whole = crowd.answer(), crowd.answer(most_plans=None)

    assert (len(usual.plans), usual.more_pairs) == (12, 9)
    assert (len(whole.plans), whole.more_pairs) == (21, 0)
    assert usual.plans == whole.plans[:12]
    assert crowd.answer(most_plans=3).plans == whole.plans[:3]


def test_of_many_pairs_that_the_press_refuses_the_nearest_are_listed_and_all_are_counted() -> None:
    # All of them need the same, so the tags decide which are shown.
    others = tuple(replace(BASE.bushing, tag=f"H{number:02}") for number in range(8))
    weak = BASE.but(more=others, press={"rated_force": Force(1_000_000)})

    (usual,), (whole,) = weak.answer().refusals, weak.answer(why="all").refusals

    assert usual.rule is whole.rule is Rule.PRESS_FORCE
    assert usual.count == whole.count == len(whole.nearest) == 9
    assert usual.nearest == whole.nearest[:3]
    assert [near.bushing for near in usual.nearest] == ["G", "H00", "H01"]


def test_pairs_alike_in_passes_tenths_and_peak_are_ranked_by_shims_and_tags_even_at_the_edge_of_twelve() -> (
    None
):
    # The same bushing 13 times and one that differs only in its tag, which comes first.
    others = tuple(
        replace(BASE.bushing, tag=tag) for tag in ("A", *(f"H{number:02}" for number in range(13)))
    )

    tags = [one.bushing.tag for one in BASE.but(more=others).answer().plans]

    assert tags == ["A", "G", *(f"H{number:02}" for number in range(10))]
