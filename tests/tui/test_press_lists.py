"""What is asked at the press beside the step itself, and the sentence that each state of a run shows."""

from __future__ import annotations

from dataclasses import replace

import pytest

from broachplan.cut.gauge_ways import Way
from broachplan.lengths import Length, System
from broachplan.runs.run import Order
from broachplan.runs.state import Cause, Fate, Status, Waits
from broachplan.runs.steps import RunAct
from tests.tui.answers import BROACH, HUB, inch
from tests.tui.pressing import FEW, GOOD_HUB, ON_HAND, SHELF, SHIMS, TIGHT, Pad
from tui.press.decisions import after_a_break
from tui.press.meant import list_of
from tui.press.question import listed
from tui.press.typed import PadKey


@pytest.mark.parametrize(
    ("lines", "act", "says"),
    [
        (("1", "*1"), RunAct.PART_WAY, "HUB 1, PASS 2 IS STUCK PART WAY."),
        (("1", "*2", "2"), RunAct.PART_WAY, "Never pull it back through the cut, never pry, never push on."),
        ((*GOOD_HUB[:2], "*3", "1", "2"), RunAct.CORRECTED, "PUT RIGHT: HUB 1, pass 2 was pushed with .0550."),
        (("1", "*3", "2", "2"), RunAct.PUSHED, "HUB 1, pass 2 is through."),
        (("1", "*4", "1"), RunAct.GONE, "SH-049 IS MISSING"),
        (("1", "*5", "1"), RunAct.BROKEN, "BR-250-A IS BROKEN"),
        (("1", "*6", "2"), RunAct.ASIDE, "HUB 1 IS SET ASIDE: the broach leaned"),
        (("1", "*6", "it fell on the floor"), RunAct.ASIDE, "HUB 1 IS SET ASIDE: it fell on the floor"),
        (("1", "*7", "1"), RunAct.STOPPED, "STOPPED AT HUB 1, PASS 2: for now"),
        (("1", "*7", "2"), RunAct.PARKED, "PARKED AT HUB 1, PASS 2: the tools are in the crib"),
        (("1", "*7", "3", "1"), RunAct.ABANDONED, "THE RUN WAS ENDED UNFINISHED: ended unfinished"),
        (("1", "*8", "1"), RunAct.RESUMED, "TAKEN UP AGAIN by Ann"),
        (("1", "*8", "Jo"), RunAct.RESUMED, "TAKEN UP AGAIN by Jo"),
    ],
)  # fmt: skip
def test_trouble_is_one_key_and_a_digit_and_says_what_is_next(
    lines: tuple[str, ...], act: RunAct, says: str
) -> None:
    pad = Pad().type(*lines)

    assert pad.last is act
    assert says in pad.shown


def test_the_eight_troubles_stand_in_their_order() -> None:
    assert [words for words, _ in list_of(PadKey.TROUBLE, Pad().view).answers] == [
        "stuck part way", "it leans", "the wrong shim was in", "a shim is missing", "a tooth or the broach is broken",
        "set this hub aside", "stop for now", "hand over",
    ]  # fmt: skip


def test_a_list_that_was_opened_is_left_by_0_and_books_nothing() -> None:
    for line in ("*2", "*4", "*5", "*6", "*7", "*8", "/1", "/2"):
        pad = Pad().type(line)
        assert pad.asked
        pad.type("9", "0")
        assert pad.asked is None
        assert len(pad.desk.asked) == 0


def test_a_push_that_stopped_part_way_goes_on_is_through_or_is_given_up() -> None:
    again = Pad().type("1", "*1", "1")
    assert again.desk.state.status is Status.RUNNING
    assert again.view.next
    assert again.view.next.pass_number == 2

    through = Pad().type("1", "*1", "2")
    assert through.desk.state.waits is Waits.READING

    aside = Pad().type("1", "*1", "3", "1")
    assert aside.desk.state.fates[1][0] is Fate.ASIDE
    broken = Pad().type("1", "*1", "4", "1")
    assert Cause.BROKEN in broken.desk.state.causes


def test_back_one_asks_what_was_really_in_and_overwrites_nothing() -> None:
    pad = Pad().type("1")
    assert listed(list_of(PadKey.BACK, pad.view)) == (
        "1  other shims were in than no shim",
        "2  pass 1 was not pushed",
    )
    pad.type("-2")
    assert pad.last is RunAct.NOT_PUSHED
    assert "TAKEN BACK: HUB 1, pass 1 is still to be pushed." in pad.shown
    assert len(pad.desk.state.steps) == 3
    assert pad.view.next
    assert pad.view.next.pass_number == 1


def test_a_reading_typed_wrong_is_put_right_with_a_name() -> None:
    nobody = Pad(by="").type(*GOOD_HUB[:2], "-1")
    assert "WHO ARE YOU?" in nobody.shown
    nobody.type("2", "1.0722")
    assert nobody.desk.state.steps[-1].by == "Kim"

    pad = Pad().type(*GOOD_HUB[:2], "-1", "1.0722")
    assert pad.last is RunAct.CORRECTED
    assert "PASS 2 READS 1.0722: 0.0022 DEEP" in pad.shown

    none = Pad().type(*GOOD_HUB[:2], "-2")
    assert none.desk.state.load(1).passes[1].read_of(1) is None


def test_nothing_is_taken_back_before_anything_is_booked() -> None:
    assert "there is nothing to take back" in "\n".join(Pad().sight("-").lines)


def test_every_hub_is_gauged_from_here_on_and_again_only_the_first_and_the_last() -> None:
    pad = Pad().type(*GOOD_HUB)
    assert "Gauge hub 4, the last one (any hub: +)." in pad.sight().lines

    pad.type(f"+{_line(pad, 'gauge every hub from here on')}")

    assert "FROM NOW ON every hub is gauged." in pad.shown
    assert "Gauge hub 2 (any hub: +)." in pad.sight().lines
    pad.type(f"+{_line(pad, 'gauge only the first hub and the last')}")
    assert "Gauge hub 4, the last one (any hub: +)." in pad.sight().lines


def _line(pad: Pad, words: str) -> int:
    """The digit of a line of what + opens."""
    return [each for each, _ in list_of(PadKey.MORE, pad.view).answers].index(words) + 1


def test_a_pass_that_need_not_be_gauged_can_be_and_the_same_shims_pushed_again() -> None:
    pad = Pad().type("1", "+1", "1.0165")
    assert pad.last is RunAct.READ
    assert "PASS 1 READS 1.0165: 0.0015 DEEP" in pad.shown

    shallow = Pad().type("1", "1.0696")
    assert "0.0004 SHALLOW" in shallow.shown
    number = next(
        place
        for place, (words, _) in enumerate(list_of(PadKey.MORE, shallow.view).answers, 1)
        if words.startswith("push again with .0550")
    )
    shallow.type(f"+{number}")
    assert shallow.last is RunAct.AGAIN
    left = shallow.sight().left
    assert left
    assert (left.heading, left.figure) == ("LEAVE IN", ".0550")


def test_a_hub_done_before_is_gauged_too() -> None:
    pad = Pad().type(*GOOD_HUB, "3")
    answers = [words for words, _ in list_of(PadKey.MORE, pad.view).answers]
    number = answers.index("gauge hub 1, done before") + 1
    pad.type(f"+{number}", "1.1209")
    assert pad.desk.state.load(1).passes[-1].read_of(1).deepest == inch("1.1209")  # type: ignore[union-attr]


@pytest.mark.parametrize(
    ("lines", "way", "reads", "heading"),
    [
        (("/1", "1"), Way.INSIDE, "1.0700", "floor to far wall"),
        # Flat anvils 0.2 in wide in a bore of 1 in: short by 0.5 - sqrt(0.25 - 0.01) = 0.0101 in.
        (("/1", ".2000"), Way.INSIDE, "1.0599", "flat anvils"),
        (("/2", ".2500"), Way.BLOCK, "0.8200", "over the block"),
        # Floor to floor: 1.07 + 1.12 - 1.0005.
        (("/4", "1.1200", "1.0005"), Way.FLOOR, "1.1895", "floor to floor"),
    ],
)  # fmt: skip
def test_every_way_of_measuring_says_what_the_gauge_should_read(
    lines: tuple[str, ...], way: Way, reads: str, heading: str
) -> None:
    pad = Pad().type("1", *lines)
    right = pad.sight().right

    assert pad.view.gauging.way is way
    assert right
    assert (right.figure, right.heading) == (reads, f"SHOULD READ   ({heading})")


def test_a_way_that_lacks_the_measured_bore_asks_for_it_and_goes_with_the_reading() -> None:
    pad = Pad().type("1", "/3")
    assert "MEASURE THE BORE FIRST" in pad.shown
    pad.type("1.0005", ".0850")
    sent = pad.desk.asked[-1]
    assert (sent.way, sent.bore_is, sent.measured) == ("wall", "1.0005 in", "0.0850 in")


def test_how_to_measure_comes_above_all_cautions() -> None:
    sight = Pad().sight("/")

    text = "\n".join(sight.lines)
    assert text.index("over a block") < text.index("BEFORE ANYTHING MOVES")
    assert "29 CFR 1910.212" in text


def test_a_disputed_reading_asks_for_a_decision() -> None:
    pad = Pad().type("1", "1.0800")
    assert pad.desk.state.causes == (Cause.DISPUTED,)
    assert "HUB 1: A READING THAT IS NOT USUAL" in pad.shown
    assert "gauge it again before anything is cut" in pad.shown

    pad.type("1")
    assert pad.desk.state.causes == ()
    assert pad.desk.state.steps[-1].sure

    again = Pad().type("1", "1.0800", "1.0718")
    assert again.desk.state.causes == ()
    assert "PASS 2 READS 1.0718" in again.shown


def test_a_disputed_reading_that_another_stack_explains_is_put_right_by_what_was_in() -> None:
    pad = Pad().type("1", "1.0640")
    assert "It reads as if this was in: .0490" in pad.shown
    pad.type("2", "1")
    assert pad.last is RunAct.CORRECTED
    assert "PUT RIGHT: HUB 1, pass 2 was pushed with .0490." in pad.shown
    assert Cause.DISPUTED not in pad.desk.state.causes


def test_a_hub_past_its_limit_is_decided_on_and_the_run_continues_with_the_next() -> None:
    pad = Pad(keyway=TIGHT, on_hand=FEW).type("1", "1.0720", "1.1211")
    assert "TOO DEEP by 0.0001: that much more air over the key, that much less wall." in pad.shown
    right = pad.sight().right
    assert right
    assert right.figure == "DEEP"
    pad.type("3", "1")
    assert pad.desk.state.fates[1] == (Fate.ACCEPTED, "the shaft and the key fit")
    assert pad.desk.state.steps[-1].by == "Kim"
    assert pad.view.next
    assert pad.view.next.hubs == (2,)


def test_a_parked_run_shows_where_its_tools_live_and_the_next_hub_is_gauged() -> None:
    pad = Pad().type(*GOOD_HUB, "*7", "2")
    assert f"{BROACH.tag}   drawer 1" in pad.shown
    pad.type("1")
    assert pad.desk.state.status is Status.RUNNING
    assert pad.desk.state.gauge_next


def test_a_reading_from_the_second_hub_on_belongs_to_the_last_pass_unless_it_reads_like_another() -> None:
    last = Pad().type(*GOOD_HUB, "1.1209")
    assert len(last.desk.state.load(2).passes) == 3

    other = Pad().type(*GOOD_HUB, "1", "1.0719")
    assert "1.0719 in: after which pass?" in other.shown
    other.type("1")
    assert len(other.desk.state.load(2).passes) == 2
    assert other.last is RunAct.READ


def test_hubs_since_the_last_good_one_are_read_before_the_run_can_end() -> None:
    pad = Pad(3, keyway=TIGHT, on_hand=FEW).type(*GOOD_HUB, "3", "1.1211")
    pad.type("1", "1")
    assert "GAUGE HUB 2 TOO" in pad.shown
    pad.type("1.1209")
    assert pad.desk.state.waits is Waits.END
    assert "scrap hub 3" in pad.shown


@pytest.mark.parametrize(("digit", "condition"), [("1", ""), ("2", "fit"), ("3", "worn"), ("4", "unfit")])
def test_the_end_says_finished_with_or_returns_the_tools_with_their_condition(
    digit: str, condition: str
) -> None:
    pad = Pad(1).type(*GOOD_HUB)
    assert "ALL HUBS ARE THROUGH" in pad.shown
    pad.type(digit)
    assert pad.desk.asked[-1].broach_condition == condition
    assert "THE RUN IS DONE" in pad.shown


def test_what_is_asked_after_a_break_names_pass_and_hub_and_nothing_where_no_push_is_due() -> None:
    pad = Pad().type(*GOOD_HUB)
    question = after_a_break(pad.view)
    assert question
    assert question.heading == "PASS 1 OF HUB 2: PUSHED, PART WAY, OR NOT YET?"
    assert after_a_break(Pad().type("2").view) is None


def test_every_list_fits_a_small_screen() -> None:
    for lines in ((), ("1",), GOOD_HUB):
        pad = Pad().type(*lines)
        for key in (PadKey.BACK, PadKey.MORE, PadKey.TROUBLE):
            assert len(listed(list_of(key, pad.view))) <= 17
        assert len(pad.sight().said) <= 4
        assert all(len(line) <= 78 for line in (*pad.sight().said, *pad.sight().lines))


def test_the_other_plan_and_a_second_push_are_offered_beside_what_stays_as_planned() -> None:
    deep = Pad().type("1", "1.0720")
    assert "Pass 3 stays as planned" in deep.shown
    assert "Or (+): the other plan, .0470 + .0550 last." in deep.shown
    answers = [words for words, _ in list_of(PadKey.MORE, deep.view).answers]
    deep.type(f"+{answers.index('the other plan: .0470 + .0550') + 1}")
    assert deep.last is RunAct.REPLANNED
    assert "THE OTHER PLAN from here on." in deep.shown
    assert deep.sight().right == deep.view.should_read(inch("1.1190"))

    shallow = Pad().type("1", "1.0696")
    assert "Or (+): the same shims again, may read 1.0696 to 1.0700" in shallow.shown


def test_where_all_hubs_go_through_a_pass_in_turn_a_reading_books_the_pass_that_is_due() -> None:
    pad = Pad(2, order=Order.PASSES).type("1", "1", "1.0720")
    assert len(pad.desk.state.load(1).passes) == 2
    assert pad.desk.state.steps[-1].pass_number == 2


def test_hubs_stacked_in_a_load_are_named_together_and_each_that_is_to_be_read_is_asked_for() -> None:
    pad = Pad(4, hub=replace(HUB, stack=2, length=inch("0.75")), read_each=1)
    assert pad.sight().place == "HUBS 1 and 2 of 4   PASS 1 of 3"
    pad.type("1")
    assert pad.sight().prompt == "Through and gauged? Type what hub 1 reads"
    pad.type("1.0720", "1.1208")
    assert pad.sight().prompt == "What does hub 2 read?"
    pad.type("1.1209")
    assert "NEXT: HUBS 3 and 4" in pad.shown


def test_a_reading_in_dispute_is_shown_at_the_hub_and_the_pass_that_it_is_of() -> None:
    assert Pad().type("1", "1.0800").sight().place == "HUB 1 of 4   PASS 2 of 3"


def test_a_metric_hub_is_shown_and_read_in_millimetres() -> None:
    pad = Pad(hub=replace(HUB, system=System.METRIC)).type("1")
    sight = pad.sight()
    assert sight.left
    assert sight.right
    assert (sight.left.figure, sight.right.figure, sight.unit) == ("1.397", "27.178", "mm")
    pad.type("27,229")
    assert pad.desk.state.steps[-1].t == Length.mm("27.229")
    assert "PASS 2 READS 27.229: 0.051 DEEP" in pad.shown


def test_a_missing_shim_is_planned_around_or_the_shim_to_cut_is_named() -> None:
    around = Pad(on_hand=FEW).type("1", "1.0720", "*4", "1")
    assert "SH-049 IS MISSING" in around.shown
    assert (
        "NEW PLAN. Pass 3: .0500 + .0550; it should come to 1.1220, still inside the limits." in around.shown
    )
    around.type("1")
    assert around.view.next
    assert around.view.next.shims == ("SH-050", "SH-055")

    two = replace(ON_HAND, shelf=replace(SHELF, shims=SHIMS[:2]))
    none = Pad(on_hand=two).type("1", "1.0720", "*4", "1", "1")
    assert none.desk.state.causes == (Cause.BLOCKED,)
    assert "Cut a shim .1020 thick" in none.shown
    left = none.sight().left
    assert left
    assert left.figure == "STOP"


def test_after_the_tools_were_in_the_crib_nothing_lies_in_the_slot_and_the_set_up_is_looked_over_anew() -> (
    None
):
    pad = Pad().type("1", "1.0720", "*7", "2", "1")
    sight = pad.sight()
    assert sight.left
    assert (sight.left.heading, sight.left.figure) == ("PUT IN 2 SHIMS, IN TOTAL", ".1040")
    assert any(line.startswith("Look over the broach") for line in sight.lines)
    assert len(sight.said) + len(sight.lines) <= 16
