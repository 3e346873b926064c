"""Which press a plan takes: room first, then one that is not heavily loaded, then the smallest."""

from __future__ import annotations

from fractions import Fraction

import pytest

from broachplan.errors import InputError
from broachplan.lengths import Length
from broachplan.planner.answer import Answer, Rule, Warn
from broachplan.quantities import Force
from broachplan.tooling.pieces import Press
from tests.planner.setups import BASE, MM, NM, SetUp, caution, only_rule, warned, words_of

# A pass of three full teeth is 3 x 2000 N/mm2 x 7 mm x 0.05 mm = 2100 N = 70 % of 3000 N.
ENOUGH, SHORT = Force(3_000_500), Force(2_999_500)


def press(tag: str, force: Force | None, **more: Length | None) -> Press:
    return Press(tag=tag, rated_force=force, **more)


def chosen(answer: Answer) -> str | None:
    return answer.plans[0].press.tag if answer.plans[0].press else None


def among(*presses: Press, **changes: object) -> SetUp:
    return BASE.but(press=None, more=presses, **changes)


def test_the_peak_of_three_full_teeth_is_2100_newtons() -> None:
    for one in BASE.answer().plans[0].passes[1:]:
        assert one.force_high == pytest.approx(2100, rel=1e-9)


def test_a_press_may_give_seventy_percent_of_its_rated_force_and_no_more() -> None:
    # From memory: at most 70 percent of the rated force, for the low force.
    assert chosen(among(press("P", ENOUGH)).answer()) == "P"
    blocked = among(press("P", SHORT)).answer()
    assert only_rule(blocked) is Rule.PRESS_FORCE
    assert (
        words_of(blocked, Rule.PRESS_FORCE)
        == "needs 472.1 lbf with a sharp broach; 70 % of press P is 472.0 lbf"
    )


def test_the_share_is_the_shops_to_set() -> None:
    whole = among(press("P", Force(2_100_500)), settings={"press_share": Fraction(1)}).answer()
    assert whole.ready
    assert Warn.PRESS_HEAVY not in warned(whole)
    blocked = among(press("P", Force(4_199_500)), settings={"press_share": Fraction(1, 2)}).answer()
    assert only_rule(blocked) is Rule.PRESS_FORCE


def test_a_dulled_edge_may_take_all_of_the_rated_force_and_no_more() -> None:
    # 1.6 x 2100 = 3360 N with a dulled edge, 70 % of 4800 N; 2100 N with a sharp one, 70 % of 3000 N.
    dulled = {"dull_edge": Fraction(16, 10)}

    just = among(press("P", Force(3_360_500)), settings=dulled).answer()
    assert chosen(just) == "P"
    assert caution(just, Warn.PRESS_HEAVY).startswith(
        "with a dulled edge this may take 100% of the rated force of press P, over the shop's 70%: use a sharp broach"
    )
    blocked = among(press("P", Force(3_359_500)), settings=dulled).answer()
    assert only_rule(blocked) is Rule.PRESS_FORCE
    assert words_of(blocked, Rule.PRESS_FORCE) == (
        "may need 755.4 lbf with a dulled edge; press P is rated 755.2 lbf"
    )


def test_a_press_is_heavily_loaded_over_its_share_of_the_high_force() -> None:
    # 1.3 x 2100 = 2730 N = 70 % of 3900 N.
    dulled = {"dull_edge": Fraction(13, 10)}

    heavy = among(press("P", Force(3_899_500)), settings=dulled).answer()
    assert heavy.ready
    assert Warn.PRESS_HEAVY in warned(heavy)
    assert Warn.PRESS_HEAVY not in warned(among(press("P", Force(3_900_500)), settings=dulled).answer())


def test_a_press_that_is_not_heavily_loaded_comes_before_a_smaller_one_that_is() -> None:
    dulled = {"dull_edge": Fraction(13, 10)}
    small, middle, large = (
        press("s", Force(3_100_000)),
        press("m", Force(3_950_000)),
        press("l", Force(9_000_000)),
    )

    assert chosen(among(small, middle, large, settings=dulled).answer()) == "m"
    assert chosen(among(small, press("t", Force(3_200_000)), settings=dulled).answer()) == "s"
    assert chosen(among(small, middle, settings=dulled).answer(press="s")) == "s"


def test_the_smallest_press_that_covers_the_peak_is_taken() -> None:
    presses = press("big", Force(90_000_000)), press("weak", SHORT), press("just", ENOUGH)

    assert chosen(among(*presses).answer()) == "just"
    assert chosen(among(*reversed(presses)).answer()) == "just"


def test_of_two_presses_of_one_force_the_first_tag_by_code_point_is_taken() -> None:
    assert chosen(among(press("b", ENOUGH), press("B", ENOUGH), press("a", ENOUGH)).answer()) == "B"


def test_without_a_material_no_press_is_chosen_but_the_one_that_was_named() -> None:
    unnamed = among(press("big", Force(90_000_000)), press("weak", Force(1)), hub={"material": None})

    assert chosen(unnamed.answer()) is None
    assert {Warn.NO_MATERIAL, Warn.NO_PRESS} & warned(unnamed.answer()) == {Warn.NO_MATERIAL}
    assert chosen(unnamed.answer(press="weak")) == "weak"
    assert Warn.NO_MATERIAL in warned(unnamed.answer(press="weak"))


def test_without_a_material_a_press_still_needs_room() -> None:
    low = press("low", ENOUGH, opening=MM(229) - NM)

    assert only_rule(among(low, hub={"material": None}).answer()) is Rule.OPENING


def test_the_opening_takes_hub_and_broach_from_its_first_tooth_up() -> None:
    # L + overall - front = 17 + 242 - 30 = 229 mm, or 9.01575 in: what is needed is rounded up.
    assert BASE.but(press={"opening": MM(229)}).answer().ready
    blocked = BASE.but(press={"opening": MM(229) - NM}).answer()
    assert only_rule(blocked) is Rule.OPENING
    assert words_of(blocked, Rule.OPENING) == "needs an opening of 9.0158 in; press P opens 9.0157 in"


def test_the_support_of_the_hub_takes_up_opening() -> None:
    standing = {"support_height": MM(50)}

    assert BASE.but(press={"opening": MM(279)}, settings=standing).answer().ready
    assert only_rule(BASE.but(press={"opening": MM(279) - NM}, settings=standing).answer()) is Rule.OPENING


def test_a_stack_of_hubs_takes_its_whole_height_of_the_opening() -> None:
    stacked = {"stack": 2}

    assert BASE.but(press={"opening": MM(246)}, hub=stacked).answer().ready
    assert only_rule(BASE.but(press={"opening": MM(246) - NM}, hub=stacked).answer()) is Rule.OPENING


def test_the_throat_takes_half_the_hub() -> None:
    odd = {"outside_diameter": MM(60) + NM}

    assert BASE.but(press={"throat": MM(30)}).answer().ready
    assert only_rule(BASE.but(press={"throat": MM(30) - NM}).answer()) is Rule.THROAT
    assert only_rule(BASE.but(press={"throat": MM(30)}, hub=odd).answer()) is Rule.THROAT
    assert BASE.but(press={"throat": MM(30) + NM}, hub=odd).answer().ready


def test_a_small_press_without_room_is_passed_over_for_a_larger_one() -> None:
    low = press("low", ENOUGH, opening=MM(229) - NM)
    shallow = press("shallow", ENOUGH, throat=MM(30) - NM)
    roomy = press("roomy", Force(50_000_000), opening=MM(229), throat=MM(30))

    assert chosen(among(low, shallow, roomy).answer()) == "roomy"


def test_presses_that_fail_each_in_their_own_way_leave_none() -> None:
    low = press("low", ENOUGH, opening=MM(229) - NM)
    shallow = press("shallow", ENOUGH, throat=MM(30) - NM)

    assert only_rule(among(low, shallow).answer()) is Rule.THROAT
    assert only_rule(among(low).answer()) is Rule.OPENING


def test_the_strong_press_without_room_does_not_lend_its_force() -> None:
    strong = press("strong", Force(90_000_000), throat=MM(30) - NM)

    assert only_rule(among(press("weak", SHORT), strong).answer()) is Rule.PRESS_FORCE


def test_lengths_of_a_press_that_nobody_measured_are_named_with_how_to_measure_them() -> None:
    bare = BASE.but(press={"opening": None, "throat": None}).answer()

    assert caution(bare, Warn.NOT_CHECKED) == (
        "press P: not checked: the opening of the press, the throat of the press. "
        "Not known: opening (rule, from the table to the ram at its highest); "
        "throat (rule, from the middle of the ram to the frame)"
    )


def test_the_press_named_is_used_though_a_smaller_one_would_do() -> None:
    presses = press("small", ENOUGH), press("big", Force(90_000_000))

    assert chosen(among(*presses).answer(press="big")) == "big"
    assert only_rule(among(press("weak", SHORT), *presses).answer(press="weak")) is Rule.PRESS_FORCE


def test_a_named_press_without_a_rated_force_is_used_and_the_plan_says_so() -> None:
    answer = among(press("old", None)).answer(press="old")

    assert chosen(answer) == "old"
    assert "press old: not checked: the force on the press" in caution(answer, Warn.NOT_CHECKED)
    assert "rated force (from its plate or its papers)" in caution(answer, Warn.NOT_CHECKED)


def test_a_press_that_is_not_in_the_crib_is_refused_with_those_that_are() -> None:
    with pytest.raises(InputError, match=r"press: read “Q”; the crib has: A, B$"):
        among(press("B", ENOUGH), press("A", ENOUGH)).answer(press="Q")
    with pytest.raises(InputError, match=r"press: read “Q”; the crib has: none$"):
        among().answer(press="Q")


def test_a_crib_without_a_press_plans_all_the_same_and_warns() -> None:
    answer = among().answer()

    assert chosen(answer) is None
    assert Warn.NO_PRESS in warned(answer)
    assert "no press" in caution(answer, Warn.NO_PRESS)


def test_presses_that_are_all_out_refuse_by_their_own_rule() -> None:
    out = among(press("P", ENOUGH), off={"P": "lent to Kim"}).answer()
    assert only_rule(out) is Rule.ON_SHELF
    assert words_of(out, Rule.ON_SHELF) == "press P: lent to Kim"
    assert only_rule(among(press("P", ENOUGH), off={"P": "lent to Kim"}).answer(press="P")) is Rule.ON_SHELF


def test_an_unrated_press_with_room_saves_a_hub_that_no_rated_one_has_room_for() -> None:
    answer = among(press("P", ENOUGH, opening=MM(229) - NM), press("Q", None)).answer()

    assert answer.ready
    assert chosen(answer) is None
    assert "press Q: not checked: the force on the press" in caution(answer, Warn.NOT_CHECKED)


def test_presses_without_a_rated_force_refuse_no_hub_but_by_their_lengths_and_none_is_chosen() -> None:
    answer = among(press("P", None), press("Q", None)).answer()

    assert answer.ready
    assert chosen(answer) is None
    assert warned(answer) == {Warn.NOT_CHECKED}
    shown = [one.text for one in answer.plans[0].cautions]
    assert [text.partition(":")[0] for text in shown] == ["press P", "press Q"]
    assert all("the force on the press" in text for text in shown)
    assert only_rule(among(press("P", None, opening=MM(229) - NM)).answer()) is Rule.OPENING


def test_one_press_that_can_be_used_is_enough() -> None:
    answer = among(press("P", ENOUGH), press("Q", None), press("R", ENOUGH), off={"P": "lent"}).answer()

    assert chosen(answer) == "R"
    assert answer.refusals == ()
