"""What a shop tries before it makes or buys a piece, in that order; each readies the hub once it is done."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from broachplan.cli.plan_json import as_dict
from broachplan.lengths import Length, System
from broachplan.planner.answer import Answer, Rule, Try
from broachplan.quantities import Force
from broachplan.sheets.plan import make_sheet
from broachplan.tooling.figures import Kind
from broachplan.tooling.pieces import Broach, Press
from tests.cli.hand_made import in_words
from tests.planner.setups import BASE, MM, NM, only_rule
from tests.planner.test_make import at_each_end, made, ways, with_pieces
from tui.sheet import sheet_text

SHORT = BASE.but(hub={"length": MM(9)})
BIG = Press(tag="Q", rated_force=Force(30_000_000), opening=MM(300), throat=MM(40))
SMALL_AND_BIG = BASE.but(press={"rated_force": Force(1_000_000)}, more=(BIG,))


def tried(answer: Answer) -> list[Try]:
    """The advice, in order."""
    return [one.what for one in answer.advice]


def kinds(answer: Answer) -> list[Kind]:
    """The kinds of piece to make, in order."""
    return [make.kind for make in answer.make]


# -- 1: measure ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("piece", "figure", "words"),
    [
        ("bushing", "web", "measure bushing G: web (micrometer with a ball anvil"),
        ("bushing", "outside_diameter", "measure bushing G: outside diameter (micrometer over"),
        ("bushing", "slot_width", "measure bushing G: slot width (gauge blocks"),
        ("broach", "keyway_width", "measure broach K: keyway width (micrometer across a tooth"),
        ("broach", "first_tooth_height", "measure broach K: height over first tooth (micrometer"),
        ("broach", "last_tooth_height", "measure broach K: height over last tooth (micrometer"),
    ],
)
def test_one_figure_that_nobody_measured_is_to_be_measured_and_no_broach_is_looked_for(
    piece: str, figure: str, words: str
) -> None:
    answer = BASE.but(**{piece: {figure: None}}).answer()

    assert only_rule(answer) is Rule.NOT_MEASURED
    assert tried(answer) == [Try.MEASURE]
    assert answer.advice[0].text.startswith(words)
    assert Kind.BROACH not in kinds(answer)


def test_a_web_to_measure_is_named_with_the_sizes_that_work() -> None:
    lacking = BASE.but(bushing={"web": None})

    advice = lacking.answer().advice[0]

    # The passes 0, 1, 2, 2.9 mm hold while the reading, 28.1 mm with a web of 12, is from 28.05 to 28.15, and while the
    # first tooth enters, up to 12.55.
    assert advice.text.endswith("it does with 0.4705 in to 0.4744 in")
    assert advice.tags == ("G",)
    assert all(lacking.but(bushing={"web": MM(web)}).answer().ready for web in ("11.951", "12.0", "12.049"))


def test_a_shim_to_measure_is_advised_where_one_to_cut_would_do() -> None:
    answer = BASE.but(shims=(*BASE.shims[:2], replace(BASE.shims[2], thickness=None))).answer()

    assert tried(answer) == [Try.MEASURE]
    assert answer.advice[0].tags == ("c",)
    assert kinds(answer) == [Kind.SHIM]


def test_a_piece_that_does_not_fit_by_what_is_known_of_it_is_not_to_be_measured() -> None:
    wide = BASE.but(broach={"keyway_width": MM(8), "last_tooth_height": None}).answer()
    large = BASE.but(bushing={"outside_diameter": MM(26), "web": None}).answer()

    assert Try.MEASURE not in tried(wide)
    assert Try.MEASURE not in tried(large)


# -- 2: set up otherwise ---------------------------------------------------------------------------------------


def test_hubs_too_short_for_the_pitch_are_stacked_or_cut_with_a_slug_and_nothing_is_bought() -> None:
    answer = SHORT.answer()

    assert only_rule(answer) is Rule.ENGAGEMENT
    assert tried(answer) == [Try.STACK, Try.SLUG]
    assert answer.make == ()
    stack, slug = answer.advice
    # Two pitches of 8 mm: two hubs of 9 mm, or 7 mm of slug, 0.2756 in and so 0.28.
    assert stack.hubs == 2
    assert SHORT.but(hub={"stack": 2}).answer().ready
    assert slug.length == Length.inches("0.28")
    assert "at least 0.28" in slug.text


def test_a_slug_for_a_metric_hub_is_rounded_up_to_hundredths_of_a_millimetre() -> None:
    metric = SHORT.but(hub={"length": MM("8.9999"), "system": System.METRIC})

    assert metric.answer().advice[1].length == MM("7.01")


def test_as_many_hubs_are_stacked_as_the_pitch_needs_and_no_more() -> None:
    third = BASE.but(hub={"length": MM("5.5")})

    assert third.answer().advice[0].hubs == 3
    assert not third.but(hub={"stack": 2}).answer().ready


def test_no_stack_of_hubs_is_advised_where_its_chips_have_no_room() -> None:
    # P^2 / 9 = 7.1 mm2; 18 mm of cut with a rise of 0.05 mm are 0.9 mm2 of metal, eight times which is 7.2 mm2.
    tight = SHORT.but(settings={"chip_factor_ductile": Fraction(8)})

    assert Try.STACK not in tried(tight.answer())


def test_another_press_on_hand_is_advised_where_the_one_named_is_too_small() -> None:
    answer = SMALL_AND_BIG.answer(press="P")

    assert only_rule(answer) is Rule.PRESS_FORCE
    assert [(one.what, one.tags) for one in answer.advice] == [(Try.PRESS, ("Q",))]
    assert SMALL_AND_BIG.answer(press="Q").ready


@pytest.mark.parametrize("lent", [("G",), ("K",), ("c",), ("K", "G"), ("P",)])
def test_pieces_that_are_out_are_waited_for_and_what_keeps_them_is_said(lent: tuple[str, ...]) -> None:
    out = BASE.but(off=dict.fromkeys(lent, "lent to Kim"))

    answer = out.answer()

    assert not answer.ready
    back = next(one for one in answer.advice if one.what is Try.BACK)
    assert set(back.tags) == set(lent)
    assert all(f"{tag} (lent to Kim)" in back.text for tag in lent)
    assert Kind.BROACH not in kinds(answer)


def test_a_piece_that_is_out_and_would_not_do_is_not_waited_for() -> None:
    short = BASE.but(shims=BASE.shims[:2], off={"G": "lent to Kim"})

    assert Try.BACK not in tried(short.answer())


# -- 3 and 4: make ---------------------------------------------------------------------------------------------


def test_a_broach_whose_first_tooth_is_too_high_gets_a_bushing_with_a_thinner_web() -> None:
    # The web 0.44 mm too thick: with no shim the first tooth is 0.0173 in too far past first metal.
    high = BASE.but(bushing={"web": MM("12.55") + MM("0.43942")})

    answer = high.answer()

    assert only_rule(answer) is Rule.ENTRY
    assert "0.0173 in too far past first metal" in answer.refusals[0].nearest[0].text
    assert kinds(answer) == [Kind.BUSHING]
    assert with_pieces(high, [made(answer.make[0], 0)]).answer().ready


# -- two together ----------------------------------------------------------------------------------------------


def test_where_stacking_alone_does_not_do_the_shim_to_cut_goes_with_it() -> None:
    blocked = SHORT.but(shims=BASE.shims[:2])

    answer = blocked.answer()

    (stack,) = answer.advice
    assert (stack.what, stack.hubs, stack.way) == (Try.STACK, 2, 1)
    assert kinds(answer) == [Kind.SHIM]
    stacked = blocked.but(hub={"stack": 2})
    assert not stacked.answer().ready
    for what, pieces in at_each_end(ways(answer)[1]):
        assert with_pieces(stacked, pieces).answer().ready, what


def test_with_neither_broach_nor_bushing_both_are_advised_and_work_together() -> None:
    bare = BASE.but(broach={"keyway_width": MM(6), "body_width": MM(6)}, bushing={"outside_diameter": MM(30)})

    answer = bare.answer()

    assert kinds(answer) == [Kind.BROACH, Kind.BUSHING]
    assert "for the bushing below" in answer.make[0].text
    for what, pieces in at_each_end(list(answer.make)):
        assert with_pieces(bare, pieces).answer().ready, what


# -- 5: a broach, and only then --------------------------------------------------------------------------------


@pytest.mark.parametrize("system", [System.INCH, System.METRIC])
def test_a_broach_to_look_for_has_whole_figures_of_the_hubs_own_system(system: System) -> None:
    none = BASE.but(hub={"system": system}, broach={"keyway_width": MM(6), "body_width": MM(6)})

    answer = none.answer()

    (found,) = answer.make
    assert answer.advice == ()
    best, rising = found.best, found.rising_teeth
    assert rising is not None
    thou, hundredth = Length.inches("0.001"), MM("0.01")
    step, pitch = (thou, Length.inches("1/16")) if system is System.INCH else (hundredth, MM(1))
    assert best["tooth_pitch"].nm % pitch.nm == 0
    for height in ("first_tooth_height", "last_tooth_height"):
        assert best[height].nm % step.nm == 0
    assert (best["last_tooth_height"] - best["first_tooth_height"]).nm % ((rising - 1) * step.nm) == 0
    whole = Broach(tag="new", rising_teeth=rising, **best)
    assert none.but(more=(whole,)).answer().ready


# -- both faces ------------------------------------------------------------------------------------------------


def test_what_to_try_comes_before_what_to_make_on_the_screen_at_the_command_line_and_in_json() -> None:
    answer = BASE.but(bushing={"web": None}).answer()
    text = answer.advice[0].text

    lines = " ".join(" ".join(in_words(answer)).split())
    assert lines.index("To try first") < lines.index("To make or find")
    assert text in lines
    screen = " ".join(sheet_text(make_sheet(answer, answer.settings.shown_in), 80).plain.split())
    assert screen.index(text) < screen.index("turn and slot")
    shown = as_dict(answer)
    assert [one["what"] for one in shown["advice"]] == ["measure"]
    assert list(shown).index("advice") < list(shown).index("make")


def test_a_hub_with_a_plan_gets_no_advice() -> None:
    assert BASE.answer().advice == ()


def test_a_nanometre_too_short_is_enough_to_ask_for_a_stack() -> None:
    assert BASE.but(hub={"length": MM(16)}).answer().ready
    assert tried(BASE.but(hub={"length": MM(16) - NM}).answer())[0] is Try.STACK
